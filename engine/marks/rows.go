package marks

import "rootcue/engine/quantity"

// A row is one measure: which views show it and how it is read there.
type row struct {
	measure string
	unit    string // as unit.Parse knows it
	views   [viewCount]bool
	time    bool // any view's clock shows it, the finest first
	read    func(*deriver, *scene) (quantity.Value, source, bool)
}

// A source says where a measure came from, by the view that showed it.
type source [viewCount]string

func from(what string) source {
	var s source
	for v := range viewCount {
		s[v] = "marks, " + v.String() + ": " + what
	}
	return s
}

var (
	fromSide   = [viewCount]bool{Beside: true}
	alongThrow = [viewCount]bool{Behind: true, Ahead: true}
	anywhere   = [viewCount]bool{Beside: true, Behind: true, Ahead: true}
)

// rows lists the measures in the order in which they are derived; later ones
// may use earlier ones.
var rows = []row{
	{"hip_height_set", "stature", fromSide, false, hipHeight(Set)},
	{"foot_stagger_set", "stature", fromSide, false, footDistance(Set)},
	{"shoulder_turn_set", "deg", fromSide, false, shoulderTurn},
	{"transfer_height", "stature", fromSide, false, ballAboveShoulder},
	{"hip_height_transfer", "stature", fromSide, false, hipHeight(Transfer)},
	{"drawback", "stature", fromSide, false, ballBehindEar},
	{"ball_drop", "stature", fromSide, false, ballDrop},
	{"hand_path", "stature", fromSide, false, handPath},
	{"straight_path", "stature", fromSide, false, straightPath},
	{"low_detour", "stature", fromSide, false, lowDetour},
	{"back_detour", "stature", fromSide, false, backDetour},
	{"stride_length", "stature", fromSide, false, footDistance(FrontFootPlant)},
	{"knee_bend_plant", "deg", fromSide, false, kneeBend("back", KneeBack, AnkleBack)},
	{"front_knee_bend_plant", "deg", fromSide, false, kneeBend("front", KneeFront, AnkleFront)},
	{"hip_height_plant", "stature", fromSide, false, hipHeight(FrontFootPlant)},
	{"first_step_off_line", "deg", alongThrow, false, offLine(BackFootPlant, AnkleBack, AnkleFront)},
	{"stride_off_line", "deg", alongThrow, false, offLine(FrontFootPlant, AnkleFront, AnkleBack)},
	{"elbow_height_release", "stature", alongThrow, false, elbowHeight},
	{"change_time", "s", anywhere, true, interval(Catch, Transfer)},
	{"ear_time", "s", anywhere, true, interval(Transfer, Ear)},
	{"throw_time", "s", anywhere, true, interval(Ear, Release)},
	{"feet_lag", "s", anywhere, true, interval(Transfer, BackFootPlant)},
	{"landing_time", "s", anywhere, true, interval(Catch, FrontFootPlant)},
	{"plant_to_release", "s", anywhere, true, interval(FrontFootPlant, Release)},
	{"exchange_time", "s", anywhere, true, interval(Catch, Release)},
	{"flight_time", "s", anywhere, true, interval(Release, Arrival)},
	{"pop_time", "s", anywhere, true, interval(Catch, Arrival)},
	{"throw_speed", "m/s", anywhere, true, throwSpeed},
}

// ShownBy tells how marks give a measure: by the views that show it, or by
// the frames of any camera. known is false for what marks do not give.
func ShownBy(measure string) (views []View, byFrames, known bool) {
	for i := range rows {
		if rows[i].measure != measure {
			continue
		}
		for v, shows := range rows[i].views {
			if shows {
				views = append(views, View(v))
			}
		}
		return views, rows[i].time, true
	}
	return nil, false, false
}
