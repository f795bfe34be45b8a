package cmd

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"net/netip"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tactics"
	"whatbout/web"
	"whatbout/web/replay"
)

type serveFlags struct {
	listen string
	names  []string
}

func serveCommand() *cobra.Command {
	var f serveFlags
	c := &cobra.Command{
		Use:   "serve",
		Short: "A page in the browser to try what-ifs on: choose, move a slider, watch the answer grow",
		Long: `A page in the browser to try what-ifs on: choose fighters, plans and rules, move a slider, watch the answer grow. Besides the invented demo it
offers the profiles and plans in the folder that it is started in, and opens nothing outside of it. It is reached from this machine only;
--listen with another address lets others in who have the token that it prints. Ctrl-C ends it.`,
		Example: "  whatbout serve\n  whatbout serve --listen 127.0.0.1:8100\n  whatbout serve --listen 192.168.1.20:8100",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	c.Flags().StringVar(&f.listen, "listen", "127.0.0.1:0", "address and port; port 0 takes a free one")
	c.Flags().StringArrayVar(&f.names, "name", nil, "a further host name that the page may be called by; repeated")
	return c
}

// address checks where to listen, and tells whether only this machine can ask there.
func (f *serveFlags) address() (loopback bool, err error) {
	host, _, err := net.SplitHostPort(f.listen)
	if err != nil {
		return false, inputError{fmt.Errorf("--listen %q; expected an address and a port, such as 127.0.0.1:8100", f.listen)}
	}
	if host == "localhost" {
		return true, nil
	}
	addr, err := netip.ParseAddr(host)
	if host != "" && err != nil {
		return false, inputError{fmt.Errorf("--listen %q; expected an address in numbers or localhost before the port, such as 127.0.0.1:8100", f.listen)}
	}
	return host != "" && addr.IsLoopback(), nil
}

func (f *serveFlags) run(c *cobra.Command) error {
	loopback, err := f.address()
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", f.listen)
	if err != nil {
		return inputError{fmt.Errorf("--listen %q cannot be used: %w", f.listen, err)}
	}
	defer listener.Close()
	root, err := os.OpenRoot(".")
	if err != nil {
		return err
	}
	defer root.Close()
	shipped, err := shippedDemo()
	if err != nil {
		return err
	}
	at := listener.Addr().(*net.TCPAddr)
	o := web.Options{Shipped: *shipped, Folder: root, Version: Version, Names: f.names, Port: fmt.Sprint(at.Port)}
	if !loopback {
		o.Token = rand.Text()
	}
	f.tell(c.OutOrStdout(), at, o.Token)
	page := web.New(o)
	page.Mount("/replay/", replays(page))
	err = page.Serve(c.Context(), listener)
	if err == nil || errors.Is(err, net.ErrClosed) {
		fmt.Fprintln(c.OutOrStdout(), "Ended.")
		return nil
	}
	return err
}

// replays shows single bouts of the page's what-ifs.
func replays(page *web.Server) http.Handler {
	return http.StripPrefix("/replay", replay.Handler(func(r *http.Request) (shown *report.Replay, err error) {
		err = page.Watch(r, func(b *web.Bout) error {
			if shown, err = report.NewReplay(&b.One, b.Plans...); err == nil {
				shown.Inputs, shown.Version, shown.Next = b.Inputs, Version, b.Again
			}
			return err
		})
		return shown, err
	}))
}

// tell prints the address to open.
func (f *serveFlags) tell(w io.Writer, at *net.TCPAddr, token string) {
	host := at.IP.String()
	switch {
	case len(f.names) > 0:
		host = f.names[0]
	case at.IP.IsUnspecified():
		host = "localhost"
	}
	address := "http://" + net.JoinHostPort(host, fmt.Sprint(at.Port)) + "/"
	if token == "" {
		fmt.Fprintf(w, "Open %s in a browser. Only this machine can; Ctrl-C ends it.\n", address)
		return
	}
	fmt.Fprintf(w, "Open %s?token=%s in a browser. Whoever has this line can use the page and read the profiles and plans in this folder; what is sent\nis not encrypted. Ctrl-C ends it.\n", address, token)
}

// shippedDemo is what the page offers without any file.
func shippedDemo() (*web.Shipped, error) {
	fighters, joint, err := demo.Everybody()
	if err != nil {
		return nil, err
	}
	files, err := demo.Inputs()
	if err != nil {
		return nil, err
	}
	s := &web.Shipped{Fighters: fighters, Joint: joint, Plans: []*tactics.Plan{demo.StayClose}, Note: demoNote, Questions: questions}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		s.Inputs = append(s.Inputs, report.Input{Name: name, SHA256: input.SHA256(files[name])})
	}
	return s, nil
}

// questions guide a student: each moves one thing.
var questions = []web.Question{
	{Ask: "What follows when Badger no longer steps back after a defence?", At: "rule=no-step-back-after-a-block",
		Look: "Where the time is spent, and what is landed in answer; then the price in head strikes."},
	{Ask: "Is feinting first worth more against somebody who bites?", At: "rule=feint-then-go&set=their.bites.hand:9&set=their.bites.hip:9&pin=yes&pin-rule=feint-then-go",
		Look: "The same plan before and after: only Heron's bites were moved. Who believes every feint believes every real attack too."},
	{Ask: "What does Badger pay for biting less on the hip?", At: "set=own.bites.hip:1.5",
		Look: "Feints bitten on go down; real kicks are believed less too, and that is the price."},
	{Ask: "How much of a plan is left when it is followed half of the time?", At: "plan=stay-close&set=own.adherence:40&pin=yes&pin-plan=stay-close",
		Look: "How far each change on the way shrinks. Nobody follows a plan at every decision."},
	{Ask: "Which doubt is largest, and what would make it smaller?", At: "plan=stay-close&draws=200",
		Look: "Three kinds of doubt: more bouts shrink the first, more coded tape the second, neither shrinks the third."},
}
