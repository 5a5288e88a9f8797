package report

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/marks"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
	"rootcue/rubrics"
)

func shipped(t *testing.T, name string) *rubric.Rubric {
	t.Helper()
	read := func(name string) ([]byte, bool) {
		b, err := rubrics.Files.ReadFile(name + ".yaml")
		return b, err == nil
	}
	b, _ := read(name)
	r, problems := rubric.Parse(name+".yaml", b, read)
	if r == nil {
		t.Fatalf("%s: %+v", name, problems)
	}
	return r
}

// The sheets of the shipped rubric are goldens; UPDATE_SHEETS=1 writes them anew.
func TestFieldSheetGolden(t *testing.T) {
	sheet := NewFieldSheet(shipped(t, "throw-to-second"))
	var text, page bytes.Buffer
	if err := sheet.Text(&text); err != nil {
		t.Fatal(err)
	}
	if err := sheet.HTML(&page); err != nil {
		t.Fatal(err)
	}
	for file, got := range map[string]string{"../../testdata/sheet/throw-to-second.txt": text.String(), "../../testdata/sheet/throw-to-second.html": page.String()} {
		if os.Getenv("UPDATE_SHEETS") != "" {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", file, diff)
		}
	}
	for i, line := range strings.Split(text.String(), "\n") {
		if len([]rune(line)) > 100 {
			t.Errorf("line %d has %d columns: %s", i+1, len([]rune(line)), line)
		}
	}
}

// The moments are those of the documents, each once, and the points named at
// them are points and enough for every measure that marks give.
func TestMomentsAreEnough(t *testing.T) {
	scale := &marks.Scale{From: [2]float64{100, 900}, To: [2]float64{100, 260}, Length: 1.6}
	side := marks.Camera{At: "/0", Toward: marks.Right, FPS: 120, HasFPS: true, UPx: 1, HasUPx: true, Scale: scale}
	behind := marks.Camera{At: "/1", View: marks.Behind, UPx: 1, HasUPx: true, Scale: scale}
	var named []string
	for i, m := range sheetMoments {
		at := marks.Moment(slices.Index(marks.Moments, m.Moment))
		if at < 0 {
			t.Fatalf("%s is no moment", m.Moment)
		}
		named = append(named, m.Moment)
		side.Frames[at] = marks.Frame{N: 20 * i, Seen: true}
		mark(t, &side, at, m.Side)
		mark(t, &behind, at, m.Behind)
	}
	side.Frames[marks.Arrival].N += 120
	for _, m := range marks.Moments {
		if !slices.Contains(named, m) {
			t.Errorf("the sheet does not name %s", m)
		}
	}
	var pool quantity.Pool
	out, _, problems := marks.Derive([]marks.Camera{side, behind}, marks.Setting{Stature: quantity.Value{X: 1.6}, DistanceM: 34.5}, marks.NewInputs(&pool), "")
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	derived := map[string]bool{}
	for _, d := range out {
		derived[d.Measure] = true
	}
	for _, r := range []string{"throw-to-second", "throw-to-third"} {
		for _, item := range NewFieldSheet(shipped(t, r)).Items {
			if _, _, known := marks.ShownBy(item.Measure); known && !derived[item.Measure] {
				t.Errorf("%s: the points named do not give %s", r, item.Measure)
			}
		}
	}
}

// mark places points of an upright figure facing the target.
func mark(t *testing.T, c *marks.Camera, at marks.Moment, names []string) {
	places := map[string][2]float64{"ball": {500, 400}, "mitt": {760, 560}, "ear": {640, 420}, "shoulder_throw": {640, 500}, "shoulder_glove": {600, 500},
		"elbow_throw": {700, 490}, "hip": {600, 640}, "knee_back": {590, 760}, "knee_front": {760, 740}, "ankle_back": {560, 870}, "ankle_front": {760, 880}, "ground": {600, 900}}
	c.Points[at] = &marks.Points{}
	for _, name := range names {
		j := slices.Index(marks.Joints, name)
		p, ok := places[name]
		if j < 0 || !ok {
			t.Fatalf("%s is no point", name)
		}
		if at == marks.BackFootPlant && name == "ankle_back" {
			p[0] = 820 // the first step goes past the other foot
		}
		c.Points[at][j] = marks.Point{X: p[0] + 40*float64(at), Y: p[1], Seen: true}
	}
}

func TestFieldSheetItems(t *testing.T) {
	items := map[string]SheetItem{}
	for _, item := range NewFieldSheet(shipped(t, "throw-to-second")).Items {
		items[item.Measure] = item
	}
	for measure, want := range map[string][2]string{
		"hip_height_set":       {"cm", "side"},
		"stride_off_line":      {"deg", "behind or ahead"},
		"elbow_height_release": {"cm", "behind or ahead"},
		"exchange_time":        {"s", "any camera, by frames"},
		"throw_speed":          {"mph", "any camera, by frames"},
		"mitt_open":            {"yes / no", "ahead, by eye"},
		"grip_across":          {"yes / no", "by eye"},
		"arrival_height":       {"cm", "at the bag, by eye"},
	} {
		if got := items[measure]; got.Unit != want[0] || got.View != want[1] {
			t.Errorf("%s: %q from %q, want %v", measure, got.Unit, got.View, want)
		}
	}
	if _, ok := items["path_ratio"]; ok {
		t.Error("a measure with a formula is on the form")
	}
	if _, ok := items["hand_path"]; ok {
		t.Error("a built-in measure is on the form")
	}
	for measure := range byEyeViews {
		if _, ok := items[measure]; !ok {
			t.Errorf("%s has a view and is no item", measure)
		}
	}
}

// A rubric of grades has no cameras, but a form and the cautions.
func TestFieldSheetWithoutCameras(t *testing.T) {
	sheet := NewFieldSheet(shipped(t, "receiving"))
	b, err := json.Marshal(sheet)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"cameras":[]`, `"setup":[]`, `"moments":[]`, `"unit":"1 to 5"`} {
		if !strings.Contains(string(b), want) {
			t.Errorf("no %s in %s", want, b)
		}
	}
	var text bytes.Buffer
	if err := sheet.Text(&text); err != nil {
		t.Fatal(err)
	}
	for _, caution := range []string{"consent", "throwing lane", "Pain", "not medical advice"} {
		if !strings.Contains(text.String(), caution) {
			t.Errorf("no caution that says %q", caution)
		}
	}
	if strings.Contains(text.String(), "CAMERAS STAND") {
		t.Error("a camera for a rubric that marks do not serve")
	}
}
