// Package letter writes e-mails and hands them to an SMTP server.
package letter

import (
	"bytes"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"net/textproto"
	"time"
)

// Letter is an e-mail that says the same twice, as plain text and as HTML.
type Letter struct {
	From, To mail.Address
	Subject  string
	Language string // en or es
	Date     time.Time
	ID       string // without brackets; the same when it is sent again, so that it can be told
	Text     string
	HTML     string
}

// boundary keeps the parts apart. Quoted-printable text never has it, for an equals sign
// stands in it only before two digits or the end of a line.
const boundary = "=_benchtrail_=_part_=_"

// Bytes gives the message as RFC 5322 has it, with CRLF line ends; the subject after RFC
// 2047, the parts as multipart/alternative (RFC 2046, section 5.1.4), the plain one first.
func (l Letter) Bytes() ([]byte, error) {
	var out bytes.Buffer
	for _, header := range [][2]string{
		{"From", l.From.String()},
		{"To", l.To.String()},
		{"Subject", mime.QEncoding.Encode("utf-8", l.Subject)},
		{"Date", l.Date.Format("Mon, 02 Jan 2006 15:04:05 -0700")},
		{"Message-ID", "<" + l.ID + ">"},
		{"Content-Language", l.Language},
		{"Auto-Submitted", "auto-generated"}, // RFC 3834: no holiday notice comes back
		{"MIME-Version", "1.0"},
		{"Content-Type", `multipart/alternative; boundary="` + boundary + `"`},
	} {
		fmt.Fprintf(&out, "%s: %s\r\n", header[0], header[1])
	}
	out.WriteString("\r\n")
	parts := multipart.NewWriter(&out)
	if err := parts.SetBoundary(boundary); err != nil {
		return nil, fmt.Errorf("set the boundary: %w", err)
	}
	for _, part := range [][2]string{{"text/plain", l.Text}, {"text/html", l.HTML}} {
		w, err := parts.CreatePart(textproto.MIMEHeader{
			"Content-Type": {part[0] + "; charset=utf-8"}, "Content-Transfer-Encoding": {"quoted-printable"},
		})
		if err != nil {
			return nil, fmt.Errorf("begin a part: %w", err)
		}
		q := quotedprintable.NewWriter(w)
		if _, err := io.WriteString(q, part[1]); err != nil {
			return nil, fmt.Errorf("write a part: %w", err)
		}
		if err := q.Close(); err != nil {
			return nil, fmt.Errorf("end a part: %w", err)
		}
	}
	if err := parts.Close(); err != nil {
		return nil, fmt.Errorf("end the parts: %w", err)
	}
	return out.Bytes(), nil
}
