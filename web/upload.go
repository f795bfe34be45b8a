package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"path"
	"sync"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tactics"
)

// Bounds of what is taken from a browser and held in memory until the program ends; the oldest make room.
const (
	mostUpload  = 1 << 20 // bytes
	mostUploads = 24
)

// upload is a file that a browser sent: a profile or a plan.
type upload struct {
	key     string
	input   report.Input
	profile *fighter.Profile
	plan    *tactics.Plan
}

func (u *upload) name() string {
	if u.profile != nil {
		return u.profile.ID
	}
	return u.plan.Name
}

func (u *upload) kind() string {
	if u.profile != nil {
		return "profile"
	}
	return "plan"
}

// uploads are kept by a name made of their content, so that an address means the same file or none.
type uploads struct {
	mu  sync.Mutex
	all []*upload // the newest last
}

func (u *uploads) get(key string) *upload {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, x := range u.all {
		if x.key == key {
			return x
		}
	}
	return nil
}

func (u *uploads) add(x *upload) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, old := range u.all {
		if old.key == x.key {
			return
		}
	}
	if u.all = append(u.all, x); len(u.all) > mostUploads {
		u.all = u.all[1:]
	}
}

func (u *uploads) list() []*upload {
	u.mu.Lock()
	defer u.mu.Unlock()
	return append([]*upload(nil), u.all...)
}

// readUpload goes through the same readers as files do.
func readUpload(name string, data []byte) (*upload, error) {
	u := &upload{key: "upload-" + input.SHA256(data)[:16], input: report.Input{Name: name, SHA256: input.SHA256(data)}}
	var err error
	if bytes.Contains(data[:min(len(data), 512)], []byte(tactics.Format)) {
		u.plan, err = tactics.Read(name, data)
	} else {
		u.profile, err = fighter.ReadProfile(name, data)
	}
	return u, err
}

// take answers an upload: what it is called in an address, or all its faults.
func (s *Server) take(w http.ResponseWriter, r *http.Request) {
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostUpload))
	if large := new(http.MaxBytesError); errors.As(err, &large) {
		fail(w, http.StatusRequestEntityTooLarge, input.Faults{{File: "the upload", What: "the file has more than a million bytes", Want: "a profile or a plan, at most 1 MB"}})
		return
	}
	if err != nil {
		fail(w, http.StatusBadRequest, errors.New("the upload broke off; send it again"))
		return
	}
	name := path.Base("/" + r.URL.Query().Get("name"))
	if name == "/" || len(name) > 120 {
		name = "upload.yaml"
	}
	u, err := readUpload(name, data)
	if err != nil {
		fail(w, http.StatusUnprocessableEntity, err)
		return
	}
	s.uploads.add(u)
	sendJSON(w, http.StatusOK, map[string]string{"kind": u.kind(), "key": u.key, "name": u.name()})
}
