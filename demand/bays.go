package demand

// visit is one vehicle's vend.
type visit struct {
	length  float64 // of the vend
	draws   float64 // at the end of the vend, for this long
	flow    float64
	came    float64 // and waited from then
	crowd   int32   // whose place this is
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
	s.came()
	c := &s.crowds[s.who]
	switch {
	case len(c.free) > 0:
		last := len(c.free) - 1
		place := c.free[last]
		c.free = c.free[:last]
		c.nextVehicle(&s.visits[place], s.now)
		s.begin(place)
	case c.queued < len(c.queue):
		at := c.head + c.queued
		if at >= len(c.queue) {
			at -= len(c.queue)
		}
		c.nextVehicle(&c.queue[at], s.now)
		c.queue[at].came = s.now
		c.queued++
		s.waited++
	default:
		var gone visit
		c.nextVehicle(&gone, s.now)
		s.turnedAway++
	}
	if len(s.crowds) == 1 {
		s.next = c.next
		return
	}
	s.soonest()
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
	v.drawing = true
	if !s.pumps() {
		v.dry, v.short = true, true
		s.lacks()
	}
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
	c := &s.crowds[v.crowd]
	if c.queued == 0 {
		c.free = append(c.free, place)
		return
	}
	whose := v.crowd
	*v = c.queue[c.head]
	v.crowd = whose
	c.head++
	if c.head == len(c.queue) {
		c.head = 0
	}
	c.queued--
	s.waiting += s.now - v.came
	s.begin(place)
}
