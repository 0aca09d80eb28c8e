// Package render draws a scene: a scene is data, a pure step lays it out on a
// page of strokes, fills and words, and writers turn the page into PNG or SVG.
// A paper is headings, text, tables and scenes on a few sheets, written as PDF.
//
// It is pure and knows no words of its own: every word on a drawing or a paper
// comes with it.
package render
