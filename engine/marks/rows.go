package marks

import "rootcue/engine/quantity"

// A row is one measure: which views show it and how it is read there.
type row struct {
	measure string
	views   [viewCount]bool
	time    bool // an interval: any view shows it, the finest clock first
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
	{"hip_height_set", fromSide, false, hipHeight(Set)},
	{"foot_stagger_set", fromSide, false, footDistance(Set)},
	{"shoulder_turn_set", fromSide, false, shoulderTurn},
	{"transfer_height", fromSide, false, ballAboveShoulder},
	{"hip_height_transfer", fromSide, false, hipHeight(Transfer)},
	{"drawback", fromSide, false, ballBehindEar},
	{"ball_drop", fromSide, false, ballDrop},
	{"hand_path", fromSide, false, handPath},
	{"straight_path", fromSide, false, straightPath},
	{"low_detour", fromSide, false, lowDetour},
	{"back_detour", fromSide, false, backDetour},
	{"stride_length", fromSide, false, footDistance(FrontFootPlant)},
	{"knee_bend_plant", fromSide, false, kneeBend("back", KneeBack, AnkleBack)},
	{"front_knee_bend_plant", fromSide, false, kneeBend("front", KneeFront, AnkleFront)},
	{"hip_height_plant", fromSide, false, hipHeight(FrontFootPlant)},
	{"first_step_off_line", alongThrow, false, offLine(BackFootPlant, AnkleBack, AnkleFront)},
	{"stride_off_line", alongThrow, false, offLine(FrontFootPlant, AnkleFront, AnkleBack)},
	{"elbow_height_release", alongThrow, false, elbowHeight},
	{"change_time", anywhere, true, interval(Catch, Transfer)},
	{"ear_time", anywhere, true, interval(Transfer, Ear)},
	{"throw_time", anywhere, true, interval(Ear, Release)},
	{"feet_lag", anywhere, true, interval(Transfer, BackFootPlant)},
	{"landing_time", anywhere, true, interval(Catch, FrontFootPlant)},
	{"plant_to_release", anywhere, true, interval(FrontFootPlant, Release)},
	{"exchange_time", anywhere, true, interval(Catch, Release)},
	{"flight_time", anywhere, true, interval(Release, Arrival)},
	{"pop_time", anywhere, true, interval(Catch, Arrival)},
	{"throw_speed", anywhere, true, throwSpeed},
}
