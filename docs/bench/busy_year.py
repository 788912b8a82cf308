#!/usr/bin/env python3
"""One year of a busy wash in a general discrete-event library, for comparison.

The model is that of BenchmarkSimulateYear in package demand: six bays with six
places to wait, vehicles at random by clock hour and weekday, a vend of four
minutes whose last part draws eight litres, a tank with a float and a low-level
cut-off that is followed exactly from event to event. What the package also
keeps (levels by hour, the week, quarters of the busiest day) is left out here,
which favours this side.

Needs Python 3 and simpy (Debian: python3-simpy3). Run it as

    python3 docs/bench/busy_year.py 3 3

with how many years and the make-up in L/min behind it, if other than 3 and 3. It
prints vends, short vends, starts of make-up and seconds of processor time; with a make-up of 1.6
the tank runs short, and TestAnotherSimulatorAgrees holds the counts.
"""
import random
import sys
import time

import simpy

HOUR = 3600.0
BAYS = WAITING = 6
NORMAL, BUSY = 255.0, 400.0          # vehicles, Saturday busy
VEND = 240.0                         # s
FLOW = 1.5 * 3.785411784 / 60e3      # m3/s, 1.5 US gallons a minute
DRAWS = 8e-3 / FLOW                  # s
OPENS, CLOSES, EDGE = 8, 20, 0.4
PEAK = 14                            # the middle of the day's opening
MAKE_UP = float(sys.argv[2] if len(sys.argv) > 2 else 3.0) / 60e3  # m3/s
TOTAL = 2.0
STOP = 0.95 * TOTAL
START = STOP - 0.10 * TOTAL
CUT_OFF, RESTART = 0.08 * TOTAL, 0.18 * TOTAL


def hour_shares():
    half = max(PEAK - OPENS, CLOSES - 1 - PEAK, 1)
    weight = [0.0] * 24
    for h in range(OPENS, CLOSES):
        weight[h] = max(0.0, 1 - (1 - EDGE) * abs(h - PEAK) / half)
    total = sum(weight)
    return [w / total for w in weight]


class Tank:
    """A level that is a straight line between events."""

    def __init__(self, env):
        self.env, self.level, self.since = env, STOP, 0.0
        self.guns, self.calling, self.pumping = 0, False, True
        self.starts = 0
        self.delivered = self.made = 0.0
        self.drawing = []
        self.alarm = env.event()
        env.process(self.floats())

    def flows(self):
        drawn = self.guns * FLOW if self.pumping else 0.0
        return (MAKE_UP if self.calling else 0.0), drawn

    def settle(self):
        dt = self.env.now - self.since
        made, drawn = self.flows()
        self.level += (made - drawn) * dt
        self.made += made * dt
        self.delivered += drawn * dt
        self.since = self.env.now

    def changed(self):
        alarm, self.alarm = self.alarm, self.env.event()
        alarm.succeed()

    def mark(self):
        made, drawn = self.flows()
        net = made - drawn
        if net > 0:
            return (STOP if self.pumping else RESTART), net
        if net < 0:
            return (CUT_OFF if self.calling else START), net
        return None, 0.0

    def floats(self):
        while True:
            mark, net = self.mark()
            if mark is None:
                yield self.alarm
                continue
            meets = self.env.timeout(max((mark - self.level) / net, 0.0))
            got = yield meets | self.alarm
            if meets not in got:
                continue
            self.settle()
            self.level = mark
            if mark == STOP:
                self.calling = False
            elif mark == START:
                self.calling = True
                self.starts += 1
            elif mark == CUT_OFF:
                self.pumping = False
                for vend in self.drawing:
                    vend["short"] = True
            else:
                self.pumping = True

    def open(self, vend):
        self.settle()
        self.guns += 1
        vend["short"] = not self.pumping
        self.drawing.append(vend)
        self.changed()

    def close(self, vend):
        self.settle()
        self.guns -= 1
        self.drawing.remove(vend)
        self.changed()


class Year:
    def __init__(self, seed):
        self.random = random.Random(seed)
        self.env = simpy.Environment()
        self.tank = Tank(self.env)
        self.bays = simpy.Resource(self.env, capacity=BAYS)
        self.wanted = self.short = self.turned_away = 0
        self.env.process(self.arrivals())

    def vehicle(self):
        with self.bays.request() as bay:
            yield bay
            yield self.env.timeout(VEND - DRAWS)
            vend = {}
            self.tank.open(vend)
            yield self.env.timeout(DRAWS)
            self.tank.close(vend)
            self.short += vend["short"]

    def arrivals(self):
        shares = hour_shares()
        to_go = self.random.expovariate(1.0)
        for day in range(365):
            vends = BUSY if day % 7 == 6 else NORMAL  # 1 January is a Sunday
            for share in shares:
                rate, at = vends * share / HOUR, 0.0
                end = self.env.now + HOUR
                while rate > 0 and at + to_go / rate <= HOUR:
                    at += to_go / rate
                    yield self.env.timeout(max(end - HOUR + at - self.env.now, 0.0))
                    to_go = self.random.expovariate(1.0)
                    self.wanted += 1
                    if len(self.bays.queue) < WAITING:
                        self.env.process(self.vehicle())
                    else:
                        self.turned_away += 1
                to_go -= rate * (HOUR - at)
                yield self.env.timeout(max(end - self.env.now, 0.0))


def main():
    seconds = []
    for seed in range(int(sys.argv[1]) if len(sys.argv) > 1 else 3):
        year = Year(seed)
        began = time.process_time()
        year.env.run(until=365 * 24 * HOUR)
        seconds.append(time.process_time() - began)
        tank = year.tank
        print("vends %d, short %d, turned away %d, starts %d, delivered %.1f m3, %.2f s"
              % (year.wanted, year.short, year.turned_away, tank.starts, tank.delivered, seconds[-1]))
    print("simpy %s, Python %s: least of %d years %.2f s" % (simpy.__version__, sys.version.split()[0], len(seconds), min(seconds)))


if __name__ == "__main__":
    main()
