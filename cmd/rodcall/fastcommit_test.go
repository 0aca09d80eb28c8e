package main

import (
	"strings"
	"testing"
	"testing/fstest"
)

// TestFastCommit: the warning comes under the kernels that bbolt's documentation
// names, for a file on an ext4 that has made fast commits, and nowhere else.
func TestFastCommit(t *testing.T) {
	const mounts = `22 27 0:21 / /proc rw,relatime - proc proc rw
27 1 254:0 / / rw,relatime - ext4 /dev/root rw,discard
30 27 254:1 / /srv rw - ext4 /dev/mapper/srv rw
31 30 0:40 / /srv/fast\040disk rw - tmpfs none rw
`
	machine := func(kernel string, commits string) fstest.MapFS {
		file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
		return fstest.MapFS{
			"proc/sys/kernel/osrelease":  file(kernel + "\n"),
			"proc/self/mountinfo":        file(mounts),
			"sys/dev/block/254:0/uevent": file("MAJOR=254\nMINOR=0\nDEVNAME=vda\nDEVTYPE=disk\n"),
			"sys/dev/block/254:1/uevent": file("MAJOR=254\nMINOR=1\nDEVNAME=dm-0\nDEVTYPE=disk\n"),
			"proc/fs/ext4/vda/fc_info":   file("fc stats:\n0 commits\n0 ineligible\n"),
			"proc/fs/ext4/dm-0/fc_info":  file("fc stats:\n" + commits + " commits\n3 ineligible\n0 numblks\n"),
		}
	}
	for kernel, warns := range map[string]bool{
		"4.19.0": false, "5.9.16": false, "5.10.0-8-amd64": true, "5.10.93": true, "5.10.94": false, "5.10.209": false,
		"5.11.22": true, "5.14.0-70.el9.x86_64": true, "5.15.0": true, "5.15.26": true, "5.15.27": false, "5.16.20": true, "5.17.0": false,
		"5.19": false, "5.16": true, "6.1.0": false, "": false, "plan9": false,
	} {
		got := fastCommitFault(machine(kernel, "12"), "/srv/rodcall/walk.db")
		if (got != "") != warns || warns && (!strings.Contains(got, "dm-0") || !strings.Contains(got, kernel)) {
			t.Errorf("Linux %q: %q, want a warning: %t", kernel, got, warns)
		}
	}
	for _, c := range []struct{ path, commits string }{
		{"/srv/rodcall/walk.db", "0"}, {"/var/walk.db", "12"}, {"/srv/fast disk/walk.db", "12"}, {"/srvx/walk.db", "12"},
	} {
		if got := fastCommitFault(machine("5.15.0", c.commits), c.path); got != "" {
			t.Errorf("%s with %s commits: %q", c.path, c.commits, got)
		}
	}
	if got := fastCommitFault(fstest.MapFS{}, "/walk.db"); got != "" {
		t.Errorf("where nothing can be found out: %q", got)
	}
}
