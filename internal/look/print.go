package look

import (
	"context"
	"os"
	"path/filepath"
	"regexp"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// emulateNetwork is a command of the protocol that all versions of Chromium have; throughputs of -1 are unlimited.
var emulateNetwork = cdp.Command[networkState, struct{}]{Method: "Network.emulateNetworkConditions"}

type networkState struct {
	Offline            bool    `json:"offline"`
	Latency            float64 `json:"latency"`
	DownloadThroughput float64 `json:"downloadThroughput"`
	UploadThroughput   float64 `json:"uploadThroughput"`
}

// Offline cuts the network for the tab: what is not on this machine's disk cannot be reached.
func (x *Tab) Offline() {
	x.t.Helper()
	x.Do(call(emulateNetwork, networkState{Offline: true, DownloadThroughput: -1, UploadThroughput: -1}))
}

// Paper shows the page as it is laid out for print, or on the screen again.
func (x *Tab) Paper(yes bool) {
	x.t.Helper()
	media := "screen"
	if yes {
		media = "print"
	}
	x.Do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media}))
}

// Sheet is a size of paper in inches.
type Sheet struct {
	Name          string
	Width, Height float64
}

// The papers that people print on (ISO 216; ANSI/ASME Y14.1).
var (
	A4     = Sheet{"A4", 210 / 25.4, 297 / 25.4}
	Letter = Sheet{"Letter", 8.5, 11}
)

var aPage = regexp.MustCompile(`/Type\s*/Page[^s\w]`)

// PDF prints the page, keeps it under this name as [Tab.Picture] does, and gives it with its number of pages. Margins are those of the page.
func (x *Tab) PDF(name string, paper Sheet) (pdf []byte, pages int) {
	x.t.Helper()
	yes := true
	pdf = run(x, func(ctx context.Context, t *chromedp.Target) ([]byte, error) {
		r, err := cdp.Call(ctx, t, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: paper.Width, PaperHeight: paper.Height, PreferCSSPageSize: &yes, PrintBackground: &yes})
		return r.Data, err
	})
	if folder := os.Getenv(PicturesIn); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, name+"-"+paper.Name+".pdf"), pdf, 0o644); err != nil {
			x.t.Fatalf("look: %v", err)
		}
	}
	return pdf, len(aPage.FindAll(pdf, -1))
}
