package heat

// Note says that a result is usable, and what is special about it.
type Note string

// The notes.
const (
	NoteNaturalRange Note = "natural_convection_out_of_range" // Rayleigh number outside the correlation
	NoteSlender      Note = "vertical_pipe_very_slender"      // curvature beyond where it was compared
	NoteForcedRange  Note = "forced_convection_out_of_range"  // Reynolds number outside the correlation
	NoteMixed        Note = "natural_and_forced_convection"   // both matter; the greater was taken
	NoteTransition   Note = "transition_inside"               // flow between laminar and turbulent
	NoteInsideRange  Note = "inside_film_out_of_range"        // Reynolds or Prandtl number outside the correlation
	NoteShallow      Note = "pipe_near_slab_face"             // axis nearer to the face than a diameter
	NoteHeight       Note = "height_assumed"                  // of a vertical run
)

// Notes is a set of notes. A set costs nothing where there is none, which is
// nearly everywhere.
type Notes uint8

const (
	noteNaturalRange Notes = 1 << iota
	noteSlender
	noteForcedRange
	noteMixed
	noteTransition
	noteInsideRange
	noteShallow
	noteHeight
)

func noteOrder() [8]Note {
	return [8]Note{NoteNaturalRange, NoteSlender, NoteForcedRange, NoteMixed, NoteTransition, NoteInsideRange, NoteShallow, NoteHeight}
}

// List gives the notes in a fixed order, nil if there is none.
func (n Notes) List() []Note {
	var list []Note
	for i, note := range noteOrder() {
		if n&(1<<i) != 0 {
			list = append(list, note)
		}
	}
	return list
}

// Has reports that a note is in the set.
func (n Notes) Has(note Note) bool {
	for i, of := range noteOrder() {
		if of == note {
			return n&(1<<i) != 0
		}
	}
	return false
}
