package localpg

import (
	"bufio"
	"context"
	"io"
	"log/slog"
	"strings"
	"sync"
)

// lastWords keeps the newest messages of the server for errors.
type lastWords struct {
	mu    sync.Mutex
	lines []string
}

func (w *lastWords) listen(r io.Reader, log *slog.Logger) {
	in := bufio.NewReader(r)
	for {
		line, err := in.ReadString('\n')
		if line = strings.TrimRight(line, "\n"); line != "" {
			log.Log(context.Background(), severity(line), "database server", "says", line)
			w.mu.Lock()
			w.lines = append(w.lines, line)
			w.lines = w.lines[max(0, len(w.lines)-8):]
			w.mu.Unlock()
		}
		if err != nil {
			return
		}
	}
}

// String returns the messages, each on a line, starting with a line break; ""
// if there are none.
func (w *lastWords) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	var b strings.Builder
	for _, line := range w.lines {
		b.WriteString("\n  " + line)
	}
	return b.String()
}

// severity is the log level of a server message. A failed statement is the
// business of the program that sent it, so ERROR is no alarm here.
func severity(line string) slog.Level {
	word, _, _ := strings.Cut(line, ":")
	switch word {
	case "PANIC":
		return slog.LevelError
	case "FATAL", "WARNING":
		return slog.LevelWarn
	default:
		return slog.LevelDebug
	}
}
