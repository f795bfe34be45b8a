package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// RecordSchema names the JSON form of a record.
const RecordSchema = "whatbout.record/1"

// Record is a study that was run from a file: what was asked, what came out, and the reporting checklist.
type Record struct {
	Schema    string          `json:"schema"`
	Study     Input           `json:"study"`
	Command   string          `json:"command"` // what the file stands for, to be typed in its folder
	Checklist []ChecklistRow  `json:"checklist"`
	Result    json.RawMessage `json:"result"`
}

// NewRecord fills the checklist in from a result in its JSON form and from what the user has said by field.
func NewRecord(study Input, command string, result []byte, said map[string]string) (*Record, error) {
	h, err := HeaderOf(result)
	if err != nil {
		return nil, err
	}
	return &Record{Schema: RecordSchema, Study: study, Command: command, Checklist: Checklist(&h, said), Result: result}, nil
}

// Inside is the result in the record.
func (r *Record) Inside() (Shown, error) { return Read("the result in the record", r.Result) }

func (r *Record) lacks() string {
	if h, err := HeaderOf(r.Result); err != nil || h.Schema == RecordSchema {
		return "it has no result of a study inside"
	}
	if _, err := r.Inside(); err != nil {
		return err.Error()
	}
	return ""
}

// Text writes the result in words, then the checklist.
func (r *Record) Text(w io.Writer) error {
	shown, err := r.Inside()
	if err != nil {
		return err
	}
	err = shown.Text(w)
	_, more := fmt.Fprintf(w, "\nStudy %s (sha256 %.12s), which stands for: %s\n\n", r.Study.Name, r.Study.SHA256, r.Command)
	return errors.Join(err, more, ChecklistText(w, r.Checklist))
}

// JSON writes the record as one object.
func (r *Record) JSON(w io.Writer) error {
	out := json.NewEncoder(w)
	out.SetIndent("", " ")
	out.SetEscapeHTML(false)
	return out.Encode(r)
}

// CSV writes the rows of the result.
func (r *Record) CSV(w io.Writer) error {
	shown, err := r.Inside()
	if err != nil {
		return err
	}
	return shown.CSV(w)
}
