package api

import (
	"bytes"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

// somePicture is a JPEG of a white circle, of the size given by the first two numbers.
func somePicture(t *testing.T, size ...int) []byte {
	t.Helper()
	size = append(size, 40, 30)
	m := image.NewGray(image.Rect(0, 0, size[0], size[1]))
	for y := range size[1] {
		for x := range size[0] {
			if (x-10)*(x-10)+(y-10)*(y-10) < 64 {
				m.SetGray(x, y, color.Gray{255})
			}
		}
	}
	var out bytes.Buffer
	require.NoError(t, jpeg.Encode(&out, m, nil))
	return out.Bytes()
}

func (c *caller) sendPicture(photo string, raw []byte) outcome {
	c.t.Helper()
	return c.do(http.MethodPut, "/photos/"+photo+"/picture", raw, "Content-Type", "image/jpeg")
}

// picture gives the picture of a photo as it is answered.
func (c *caller) picture(photo, query string, header ...string) outcome {
	c.t.Helper()
	return c.do(http.MethodGet, "/photos/"+photo+"/picture"+query, nil, header...)
}

func photoOf(noun, id string) object {
	return object{"subject_noun": noun, "subject_id": id, "taken_at": "2026-08-12T15:31:00Z", "what": "leaf_underside"}
}

func TestAPhotoIsARecordAndItsPictureComesAfterwards(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	look, inspection := c.new("looks", g.look()), c.new("inspections", g.inspection(57, 2))
	photo := c.new("photos", with(photoOf("looks", look), object{"plant": 7}))
	for noun, id := range map[string]string{"inspections": inspection, "shipments": g.shipment, "lots": g.lot} {
		c.new("photos", photoOf(noun, id))
	}
	stored := c.get("/photos/" + photo)
	require.Equal(t, g.site, stored["site_id"])
	require.NotContains(t, stored, "picture")
	requireRefused(t, c.picture(photo, ""), http.StatusNotFound, "not_found")

	sent := c.sendPicture(photo, somePicture(t, 2000, 1000))
	require.Equal(t, http.StatusCreated, sent.status, sent.text)
	full, small := c.picture(photo, ""), c.picture(photo, "?size=small")
	known := c.get("/photos/" + photo)["picture"].(object)
	require.Equal(t, object{"width": 1600.0, "height": 800.0, "bytes": float64(len(full.text)), "stored_at": "2026-09-14T13:00:00Z"}, known)
	for text, size := range map[string]image.Point{full.text: {1600, 800}, small.text: {320, 160}} {
		m, err := jpeg.DecodeConfig(strings.NewReader(text))
		require.NoError(t, err)
		require.Equal(t, size, image.Pt(m.Width, m.Height))
	}
	found := c.items("/photos?subject_id=" + look)
	require.Len(t, found, 1)
	require.Equal(t, known, found[0]["picture"])
	require.Len(t, c.items("/photos?site_id="+g.site), 4)

	c.put("/photos/"+photo, with(photoOf("looks", look), object{"withdrawn_because": "of my thumb"}), "If-Match", "1")
	require.Equal(t, http.StatusOK, c.picture(photo, "").status, "it stays with its record")
}

func TestAPhotoOfWhatIsNotThereIsRefused(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	before := r.revisions(t)
	path := "/photos/" + storetest.NewID(t).String()
	for pointer, body := range map[string]object{
		"/subject_id":   photoOf("looks", g.lot),
		"/subject_noun": photoOf("verdicts", g.lot),
		"/plant":        with(photoOf("lots", g.lot), object{"plant": 3}),
		"/what":         with(photoOf("lots", g.lot), object{"what": "lunch"}),
		"/taken_at":     with(photoOf("lots", g.lot), object{"taken_at": nil}),
		"/note":         with(photoOf("lots", g.lot), object{"note": strings.Repeat("n", 501)}),
	} {
		requireRefused(t, c.do(http.MethodPut, path, body), http.StatusUnprocessableEntity, "invalid", pointer)
	}
	require.Equal(t, before, r.revisions(t))
	requireRefused(t, c.sendPicture(nobody, somePicture(t)), http.StatusNotFound, "not_found")
}

func TestAPhoneSendsPhotosWithItsLooks(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	look, photo, early := storetest.NewID(t).String(), storetest.NewID(t).String(), storetest.NewID(t).String()
	answer := c.do(http.MethodPost, "/outbox", object{"records": []object{
		{"noun": "photos", "id": early, "body": photoOf("looks", look)},
		{"noun": "looks", "id": look, "body": g.look()},
		{"noun": "photos", "id": photo, "body": photoOf("looks", look)},
	}})
	answers := objects(t, answer.object(t)["answers"])
	for i, status := range []int{http.StatusUnprocessableEntity, http.StatusCreated, http.StatusCreated} {
		require.InDelta(t, status, answers[i]["status"], 0)
	}
	require.Equal(t, http.StatusCreated, c.sendPicture(photo, somePicture(t)).status)
}

func TestTheSamePictureAgainIsQuietAndAnotherOneAConflict(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	photo := c.new("photos", photoOf("lots", newGrounds(c, "Fernhollow").lot))
	raw, other := somePicture(t), somePicture(t, 50, 50)
	statuses := together(6, func(int) int { return c.sendPicture(photo, raw).status })
	require.ElementsMatch(t, []int{201, 200, 200, 200, 200, 200}, statuses)
	before := c.picture(photo, "").text
	again := c.sendPicture(photo, raw)
	require.Equal(t, http.StatusOK, again.status)
	require.NotNil(t, again.object(t)["picture"])
	requireRefused(t, c.sendPicture(photo, other), http.StatusConflict, "conflict")
	require.Equal(t, before, c.picture(photo, "").text)

	second := c.new("photos", photoOf("lots", c.get("/photos/" + photo)["subject_id"].(string)))
	both := together(2, func(i int) int { return c.sendPicture(second, [][]byte{raw, other}[i]).status })
	require.ElementsMatch(t, []int{http.StatusCreated, http.StatusConflict}, both, "of two at once the first stays")
}

func TestWhatIsNoPictureIsNotStored(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	photo := c.new("photos", photoOf("lots", newGrounds(c, "Fernhollow").lot))
	path, whole := "/photos/"+photo+"/picture", somePicture(t, 400, 300)
	for _, kind := range []string{"", "application/json", "image/gif", "image/svg+xml", "text/html", "multipart/form-data; boundary=x"} {
		requireRefused(t, c.do(http.MethodPut, path, whole, "Content-Type", kind), http.StatusUnsupportedMediaType, "not_picture_type")
	}
	requireRefused(t, c.sendPicture(photo, make([]byte, mostPicture+1)), http.StatusRequestEntityTooLarge, "too_large")
	for _, raw := range [][]byte{{}, whole[:len(whole)/2], []byte("<svg/>"), bytes.Repeat([]byte{0}, 1000)} {
		requireRefused(t, c.sendPicture(photo, raw), http.StatusUnprocessableEntity, "picture_unreadable")
	}
	requireRefused(t, c.sendPicture(photo, bomb(t)), http.StatusUnprocessableEntity, "picture_too_large")
	requireRefused(t, c.picture(photo, ""), http.StatusNotFound, "not_found")
	require.Zero(t, sql[int](t, r, `select count(*)::int from photo_picture`))
	require.NotContains(t, r.log.String(), "level=ERROR")
	require.Equal(t, http.StatusCreated, c.do(http.MethodPut, path, whole, "Content-Type", "image/png").status, "what it is stands in it")
}

// bomb is a small PNG that says it has 60,000 by 60,000 pixels.
func bomb(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, png.Encode(&out, image.NewGray(image.Rect(0, 0, 1, 1))))
	raw := out.Bytes()
	binary.BigEndian.PutUint32(raw[16:], 60000)
	binary.BigEndian.PutUint32(raw[20:], 60000)
	binary.BigEndian.PutUint32(raw[29:], crc32.ChecksumIEEE(raw[12:29]))
	return raw
}

func TestAPictureIsNeverAPage(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	photo := c.new("photos", photoOf("lots", newGrounds(c, "Fernhollow").lot))
	page := "<!doctype html><script>alert(document.cookie)</script>"
	whole := somePicture(t)
	both := bytes.Join([][]byte{whole[:2], {0xff, 0xfe, 0, byte(len(page) + 2)}, []byte(page), whole[2:], []byte(page)}, nil)
	require.Equal(t, http.StatusCreated, c.sendPicture(photo, both).status)
	got := c.picture(photo, "")
	require.NotContains(t, got.text, "script")
	for name, value := range map[string]string{
		"Content-Type":                 "image/jpeg",
		"X-Content-Type-Options":       "nosniff",
		"Content-Security-Policy":      "sandbox; default-src 'none'",
		"Cross-Origin-Resource-Policy": "same-origin",
		"Content-Disposition":          `inline; filename="photo-` + photo + `.jpg"`,
		"Content-Encoding":             "",
	} {
		require.Equal(t, value, got.header.Get(name), name)
	}
}

func TestABrowserKeepsAPictureForOnePersonOnly(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	photo := c.new("photos", photoOf("lots", newGrounds(c, "Fernhollow").lot))
	c.sendPicture(photo, somePicture(t, 800, 600))
	full, small := c.picture(photo, "?size=full"), c.picture(photo, "?size=small")
	require.Equal(t, "private, max-age=86400", full.header.Get("Cache-Control"))
	require.Contains(t, strings.Join(full.header.Values("Vary"), ", "), "Cookie, Authorization")
	require.NotEqual(t, full.header.Get("ETag"), small.header.Get("ETag"))
	require.Equal(t, http.StatusNotModified, c.picture(photo, "?size=small", "If-None-Match", small.header.Get("ETag")).status)
	require.Equal(t, http.StatusOK, c.picture(photo, "?size=small", "If-None-Match", full.header.Get("ETag")).status)
	other := r.newOwner(t, "Second")
	requireRefused(t, other.picture(photo, "", "If-None-Match", full.header.Get("ETag")), http.StatusNotFound, "not_found")
}

func TestAPictureIsForThePeopleOfItsSite(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	other := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	here := r.signedIn(t, r.person(t, owner, "Rae", store.SiteRole{Role: store.Receiver, SiteID: idOf(t, g.site)}))
	there := r.signedIn(t, r.person(t, owner, "Tim", store.SiteRole{Role: store.Grower, SiteID: idOf(t, other)}))
	inspection := here.new("inspections", g.inspection(57, 2))
	photos := []string{}
	for noun, id := range map[string]string{"shipments": g.shipment, "lots": g.lot, "inspections": inspection} {
		photos = append(photos, here.new("photos", photoOf(noun, id)))
	}
	requireSeenBy := func(see, not *caller) {
		t.Helper()
		for _, photo := range photos {
			require.Equal(t, http.StatusOK, see.sendPicture(photo, somePicture(t)).status)
			require.Equal(t, http.StatusOK, see.picture(photo, "").status)
			require.Len(t, see.items("/revisions?record_id="+photo), 1)
			requireRefused(t, not.picture(photo, ""), http.StatusNotFound, "not_found")
			requireRefused(t, not.sendPicture(photo, somePicture(t)), http.StatusNotFound, "not_found")
			requireRefused(t, not.do(http.MethodGet, "/revisions?record_id="+photo, nil), http.StatusNotFound, "not_found")
		}
		require.Len(t, see.items("/photos"), 3)
		require.Empty(t, not.items("/photos"))
	}
	for _, photo := range photos {
		requireRefused(t, there.sendPicture(photo, somePicture(t)), http.StatusNotFound, "not_found")
		require.Equal(t, http.StatusCreated, here.sendPicture(photo, somePicture(t)).status)
	}
	requireSeenBy(here, there)
	body := objects(t, c.get("/revisions?record_id=" + g.shipment)["items"])[0]["body"].(object)
	c.put("/shipments/"+g.shipment, with(body, object{"site_id": other}), "If-Match", "1")
	requireSeenBy(there, here) // the shipment was entered at the wrong site
}

func TestAPictureWaitsForItsPlace(t *testing.T) {
	t.Parallel()
	s := &server{pictures: make(chan struct{}, 1)}
	s.pictures <- struct{}{}
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	_, err := s.readPicture(ctx, somePicture(t))
	require.Equal(t, http.StatusServiceUnavailable, problemOf(err).Status)
	<-s.pictures
	_, err = s.readPicture(t.Context(), somePicture(t))
	require.NoError(t, err)
	require.Empty(t, s.pictures, "the place is free again")
}
