package demand

// visit is one vehicle's vend.
type visit struct {
	length  float64 // of the vend
	draws   float64 // at the end of the vend, for this long
	flow    float64
	came    float64 // and waited from then
	drawing bool
	dry     bool // has had no water yet
	short   bool // lacked water at some time while drawing
}

// turn is when something next happens in a bay: its gun opens or its vend ends.
type turn struct {
	at    float64
	place int32
}

// arrive lets one vehicle in, has it wait, or turns it away.
func (s *simulation) arrive() {
	s.wanted++
	s.today.Wanted++
	switch {
	case len(s.free) > 0:
		place := s.take()
		s.nextVehicle(&s.visits[place])
		s.begin(place)
	case s.queued < len(s.queue):
		at := s.head + s.queued
		if at >= len(s.queue) {
			at -= len(s.queue)
		}
		s.nextVehicle(&s.queue[at])
		s.queue[at].came = s.now
		s.queued++
		s.waited++
	default:
		var gone visit
		s.nextVehicle(&gone)
		s.turnedAway++
	}
}

// take returns a free place.
func (s *simulation) take() int32 {
	last := len(s.free) - 1
	place := s.free[last]
	s.free = s.free[:last]
	return place
}

// begin starts the vend in a place.
func (s *simulation) begin(place int32) {
	v := &s.visits[place]
	s.schedule(turn{s.now + (v.length - v.draws), place})
}

// schedule puts a turn among those coming, latest first.
func (s *simulation) schedule(t turn) {
	i := len(s.coming)
	s.coming = s.coming[:i+1] // there is one at most for each bay
	for i > 0 && s.coming[i-1].at < t.at {
		s.coming[i] = s.coming[i-1]
		i--
	}
	s.coming[i] = t
}

// turn makes the last of coming open its gun or, if it was open, leave.
func (s *simulation) turn(last int) {
	place := s.coming[last].place
	s.coming = s.coming[:last]
	v := &s.visits[place]
	if v.drawing || v.draws == 0 {
		s.leave(place)
		return
	}
	s.settle()
	v.drawing, v.dry, v.short = true, !s.pumping, !s.pumping
	s.open(v.flow)
	s.follow()
	s.schedule(turn{s.now + v.draws, place})
}

// leave ends a vend and lets in who waits.
func (s *simulation) leave(place int32) {
	v := &s.visits[place]
	if v.drawing {
		s.settle()
		s.close(v.flow)
		s.follow()
		s.litresWanted += v.flow * v.draws
	}
	s.finish(v.short, v.dry)
	if s.queued == 0 {
		s.free = append(s.free, place)
		return
	}
	*v = s.queue[s.head]
	s.head++
	if s.head == len(s.queue) {
		s.head = 0
	}
	s.queued--
	s.waiting += s.now - v.came
	s.begin(place)
}
