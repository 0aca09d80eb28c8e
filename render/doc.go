// Package render draws a scene: a scene is data, a pure step lays it out on a
// page of strokes, fills and words, and writers turn the page into PNG or SVG.
//
// It is pure and knows no words of its own: every word on a drawing comes with
// the scene.
package render
