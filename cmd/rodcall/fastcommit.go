package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// fastCommitFault says what is to be feared for a file on a file system that makes
// fast commits, under a kernel that damages files with them; "" where nothing is, or
// nothing can be found out. root is the machine's.
//
// The versions are those of bbolt's own README (v1.5.0, read there): ext4's fast
// commits came with Linux 5.10, and are mended since 5.10.94, 5.15.27 and 5.17.
func fastCommitFault(root fs.FS, path string) string {
	read := func(name string) string {
		b, err := fs.ReadFile(root, name)
		if err != nil {
			return ""
		}
		return strings.TrimSpace(string(b))
	}
	kernel := read("proc/sys/kernel/osrelease")
	if !losesFastCommits(kernel) {
		return ""
	}
	device := ext4Of(read("proc/self/mountinfo"), path)
	if device == "" {
		return ""
	}
	for line := range strings.Lines(read("sys/dev/block/" + device + "/uevent")) {
		name, ok := strings.CutPrefix(strings.TrimSpace(line), "DEVNAME=")
		if !ok {
			continue
		}
		made := 0
		for line := range strings.Lines(read("proc/fs/ext4/" + name + "/fc_info")) {
			var what string
			if n, err := fmt.Sscanf(line, "%d %s", &made, &what); n == 2 && err == nil && what == "commits" && made > 0 {
				return fmt.Sprintf("it lies on ext4 with fast commits (%s), and Linux %s may damage files with these: use 5.10.94, 5.15.27, 5.17 or a newer one, or take them off with tune2fs -O ^fast_commit", name, kernel)
			}
		}
	}
	return ""
}

// losesFastCommits says whether a kernel's version is one of those. Who packages a
// kernel may have mended it under the same number.
func losesFastCommits(kernel string) bool {
	var major, minor, patch int
	if n, _ := fmt.Sscanf(kernel, "%d.%d.%d", &major, &minor, &patch); n < 2 || major != 5 {
		return false
	}
	switch minor {
	case 10:
		return patch < 94
	case 15:
		return patch < 27
	}
	return minor > 10 && minor < 17
}

// ext4Of is the device, as numbers, of the ext4 that a path lies on, by the list of
// what is mounted; "" where it lies on another.
func ext4Of(mounts, path string) (device string) {
	longest := -1
	for line := range strings.Lines(mounts) {
		// id parent major:minor root mount-point options… - type source …
		before, after, ok := strings.Cut(line, " - ")
		f, kind := strings.Fields(before), strings.Fields(after)
		if !ok || len(f) < 5 || len(kind) == 0 {
			continue
		}
		at := strings.ReplaceAll(f[4], `\040`, " ")
		if in, err := filepath.Rel(at, path); err != nil || in == ".." || strings.HasPrefix(in, "../") || len(at) < longest {
			continue
		}
		longest, device = len(at), ""
		if kind[0] == "ext4" {
			device = f[2]
		}
	}
	return device
}

// warnOfFastCommit prints that fault, if there is one.
func warnOfFastCommit(s streams, db string) error {
	path, err := filepath.Abs(db)
	if err == nil {
		path, err = filepath.EvalSymlinks(path)
	}
	if err != nil {
		return nil // it was read, and that is what matters
	}
	if fault := fastCommitFault(os.DirFS("/"), path); fault != "" {
		return show(s.out, "warning: "+fault+"\n")
	}
	return nil
}
