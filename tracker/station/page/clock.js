// The clock of this phone. It may be wrong, it may be set while somebody works,
// and the counter beside it (performance.now) may stop while the phone sleeps. So
// nothing is corrected here: each entry keeps what the clock showed, and what is
// known of the clock goes with it. See clockTold.

// JUMP is by how many ms clock and counter may part between two looks without one
// of them having been set or stopped.
const JUMP = 1000;

// STALE is after how many ms the clock is compared with the station's again.
const STALE = 5 * 60_000;

// RUN is how far a clock runs off by itself: about four seconds a day.
const RUN = 5e-5;

// makeClock watches a clock. wall and count are the clock and the counter, in ms;
// ask tells the station's ms; keep holds what was compared.
//
// A stretch is a time in which the clock was neither set nor stopped, as far as the
// counter can tell; it has a name of its own in all pages of this phone. A fact is
// one comparison: {epoch, shown, at, trip, count, n}. What a clock that ran
// backwards shows is kept as {back: true, n}.
function makeClock({ wall, count, ask, keep }) {
  const page = randomHex(4);
  const made = []; // the comparisons of this page: the disk may lose them
  let stretch = 0, last = null, newest = null;

  // look compares clock and counter and begins a new stretch where they parted.
  function look() {
    const now = { wall: wall(), count: count() };
    const parted = last ? (now.wall - last.wall) - (now.count - last.count) : 0;
    if (Math.abs(parted) > JUMP) stretch++;
    if (parted < -JUMP) keep.fact({ back: true }).catch(() => {}); // sleep only ever sets it forward
    last = now;
    return { at: Math.round(now.wall), count: now.count, epoch: page + "-" + stretch };
  }

  const fits = (fact) => fact && fact.epoch === look().epoch && count() - fact.count < STALE;

  // fresh compares the clock with the station's, unless that was done in this
  // stretch and lately. It throws what ask throws where there is no station.
  async function fresh(anew = false) {
    while (anew || !fits(newest)) {
      const before = look(), at = await ask(), after = look();
      if (before.epoch !== after.epoch) continue;
      const trip = after.count - before.count;
      const fact = { epoch: after.epoch, shown: Math.round((before.at + after.at) / 2), at, trip: Math.round(trip), count: before.count + trip / 2 };
      await keep.fact(fact).catch(() => {});
      newest = fact;
      made.push(fact);
      made.splice(0, made.length - FACTS);
      anew = false;
    }
    return newest;
  }

  // now is the station's ms as far as known. After a jump it is what the clock shows if
  // it only slept, and never less than what has been counted since it was compared.
  function now() {
    const here = look();
    if (!newest) return here.at;
    const told = here.at - (newest.shown - newest.at);
    return newest.epoch === here.epoch ? told : Math.max(told, Math.round(newest.at + here.count - newest.count));
  }

  // known are the comparisons that this page made in a stretch.
  const known = (epoch) => made.filter((f) => f.epoch === epoch);

  // ahead is by how many ms this phone is ahead of the station, null before the first
  // comparison of this page.
  const ahead = () => newest && newest.shown - newest.at;

  return { stamp: look, fresh, now, known, ahead };
}

// clockTold is what is known of the clock for an entry that was kept with a stamp:
// the fact to correct it by, or, where the clock was set or slept and nothing was
// compared in that stretch, the range in the station's ms that holds the truth.
//
// Where the comparisons before and after agree, the clock never ran backwards
// and shows a time inside the range, it only slept: then they hold for the entry too.
function clockTold(stamp, facts) {
  const own = nearest(stamp, facts.filter((f) => f.epoch === stamp.epoch));
  if (own) return told(own);
  const { before, after } = around(stamp, facts), range = rangeOf(before, after, stamp);
  if (before.length && after.length && undisturbed(before.at(-1), after[0], facts)) {
    const fact = nearest(stamp, [before.at(-1), after[0]]), time = stamp.at - (fact.shown - fact.at);
    const slack = JUMP + fact.trip / 2;
    if (time >= range[0] - slack && time <= range[1] + slack) return told(fact);
  }
  return { epoch: stamp.epoch, fact: null, jump: range };
}

const told = ({ epoch, shown, at, trip }) => ({ epoch, fact: { shown, at, trip }, jump: null });

// nearest is the fact that leaves the least doubt: the time of its round trip, and
// what the clock may have run off since.
function nearest(stamp, facts) {
  const doubt = (f) => f.trip / 2 + RUN * Math.abs(f.shown - stamp.at);
  return facts.filter((f) => !f.back).sort((a, b) => doubt(a) - doubt(b))[0] ?? null;
}

// undisturbed reports whether the clock shows the same at two comparisons, and was
// never seen to run backwards between them.
function undisturbed(a, b, facts) {
  const off = (a.shown - a.at) - (b.shown - b.at);
  return Math.abs(off) < JUMP + (a.trip + b.trip) / 2 + RUN * Math.abs(b.at - a.at) && !facts.some((f) => f.back && f.n > a.n && f.n < b.n);
}

const pageOf = (stamp) => stamp.epoch.split("-")[0];

// around parts the comparisons into those before an entry and those after it, in
// order: by the counter of one page, else as they were kept, which no clock decides.
function around(stamp, facts) {
  const real = facts.filter((f) => !f.back);
  const earlier = (f) => pageOf(f) === pageOf(stamp) ? f.count <= stamp.count : f.n < stamp.n;
  return { before: real.filter(earlier), after: real.filter((f) => !earlier(f)) };
}

// rangeOf is when an entry can have been, as the station tells time: after each
// comparison before it, by what the counter of one page has counted since, which is
// never too much; and so before each that followed. An end that nothing tells is null.
function rangeOf(before, after, stamp) {
  const counted = (f) => pageOf(f) === pageOf(stamp) ? Math.abs(stamp.count - f.count) : 0;
  const from = before.map((f) => f.at - f.trip / 2 + counted(f)), to = after.map((f) => f.at + f.trip / 2 - counted(f));
  return [from.length ? Math.floor(Math.max(...from)) : null, to.length ? Math.ceil(Math.min(...to)) : null];
}

// randomHex is a name of so many random bytes.
function randomHex(bytes) {
  return Array.from(crypto.getRandomValues(new Uint8Array(bytes)), (b) => b.toString(16).padStart(2, "0")).join("");
}
