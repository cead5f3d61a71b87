// What came of the entries of this phone: the last one in large type, those
// before it in a list. Grey until the station has answered.
const UI = (() => {
  const marks = { // the report's marks: full, cannot tell, cross, hollow
    good: "M12 3a9 9 0 1 0 .01 0z", asks: "M12 2L22 12L12 22L2 12z",
    bad: "M4 4L20 20M20 4L4 20", kept: "M4 4H20V20H4z", reading: "M4 4H20V20H4z",
  };
  const longest = 12, few = 2;
  const twice = 700; // ms in which a second tap on UNDO or YES is the same one
  let log = Memory.get("log", []); // newest first: {id, n, what, typed, at, stage, aside, of, answer, undone, agreed, seen}
  let referred = -twice;

  // add queues an entry with what the page shows now, and says that it is kept.
  async function add(entry, blob) {
    const place = {n: Infinity}, asShown = {stage: Stage.seen(), by: Who.name(), ...entry}, at = Clock.now();
    if (!entry.of) referred = -twice; // something else was done between two taps
    Stage.used();
    cards(entry, place);
    const full = await Queue.add(asShown, blob);
    place.n = full.n;
    const one = item(full.id) || noted(full, at, "stage" in entry);
    if (!item(full.id)) log.unshift(one);
    trim();
    if (!one.answer) Sense.tell("kept");
    show();
    return full;
  }

  const noted = (entry, at, aside) => ({id: entry.id, n: entry.n, what: what(entry), typed: typed(entry), at, stage: entry.stage, aside, of: entry.of});

  // typed is the reading of a break, as it stood on the pad, or what was measured.
  const typed = ({break: tried, measure}) => measure ? measure.value : tried?.reading ? [tried.reading, unit(tried.rig)].filter(Boolean).join(" ") : "";
  const unit = rig => State.get()?.press?.rigs?.find(r => r.name === rig)?.unit;

  // remember finds an entry in the list, or puts it where it was made: one of another
  // tab, or from before this page was loaded, whose answer comes only now.
  function remember(entry) {
    if (item(entry.id)) return item(entry.id);
    const one = noted(entry, entry.at, false), place = log.findIndex(i => i.n < one.n);
    log.splice(place < 0 ? log.length : place, 0, one);
    return one;
  }

  // Somebody has to look at what was not taken, and at what asks, until it is settled.
  const settled = i => i.seen || i.undone || i.agreed;
  const wants = i => !settled(i) && (i.answer?.state === "bad" || i.answer?.state === "asks");

  // trim forgets the oldest of those that nobody needs any more.
  function trim() {
    let left = longest;
    log = log.filter(i => left-- > 0 || !i.answer || wants(i));
  }

  // cards obeys at once the cards that an entry holds: the disk may be slow and the
  // station far. place gets the number of the entry later.
  function cards(entry, place) {
    const texts = entry.kind === "line" ? [entry.line] : (entry.found || []).map(f => f.text).filter(t => t.startsWith("."));
    for (const text of texts) { Who.hear(text); Stage.hear(text, place); }
  }

  // what names an entry in a word or two.
  function what(entry) {
    switch (entry.kind) {
      case "line": return Stage.titled(entry.line)?.title || Check.meant(entry.line) || entry.line.toUpperCase();
      case "photo": return "photograph";
      case "break": return entry.break.subject;
      case "measure": return entry.measure.subject;
      case "faces": return entry.faces.subject;
      case "ended": return entry.ended.subject + " " + entry.ended.how;
    }
    return entry.kind.toUpperCase() + " " + (item(entry.of)?.what || "");
  }

  const item = id => log.find(i => i.id === id);

  // answer shows what the station said of an entry, be it of another tab.
  function answer(a, entry) {
    const one = remember(entry), news = !one.answer || one.answer.gone;
    one.answer = a;
    if (!one.aside) Stage.told(a); // a button of a page has its own stage, for once
    if (a.by) Who.put(a.by);
    if (a.found) Photo.outline(a);
    if (one.of && a.state === "bad") again(item(one.of));
    if (news) Sense.tell(a.state);
    trim();
    show();
  }

  // meanwhile has an entry ask that was good, where the station says so since: somebody
  // else recorded what does not go with it.
  function meanwhile(state) {
    for (const i of log.filter(i => i.answer?.state === "good" && !settled(i) && state?.asks?.[i.answer.run])) {
      Object.assign(i.answer, {state: "asks", word: "ASKS", line: state.asks[i.answer.run], more: [], do: [], yes: true});
      Sense.tell("asks");
      show();
    }
  }

  // again lets UNDO and YES mean an entry once more, since the station did not do it.
  function again(one) { if (one) one.undone = one.agreed = false; }

  // gone says which entries this phone lost: they have no answer, and wait no more.
  async function gone() {
    const open = log.filter(i => !i.answer);
    if (!open.length) return;
    const waits = new Set((await Queue.list()).map(e => e.id));
    (await Queue.past()).filter(a => item(a.id) && !item(a.id).answer).forEach(a => answer(a, item(a.id))); // another page got it
    for (const i of open.filter(i => !i.answer && !waits.has(i.id))) {
      i.answer = {id: i.id, gone: true, state: "bad", word: "GONE", code: i.what,
        line: `1 entry is gone from this phone: ${[i.what, i.stage, i.typed, hour(i.at)].filter(Boolean).join(" ")}: look whether it is recorded`};
      Sense.tell("bad");
      show();
    }
  }

  const undoable = i => !i.undone && (i.answer ? i.answer.undo : !i.of);
  const agreeable = i => !i.agreed && !i.undone && i.answer?.yes;

  // tapped refers by a tap, unless it is the second one of a wet thumb: the button
  // means the next older entry by then.
  function tapped(event, kind, one) {
    if (event.detail && performance.now() - referred < twice) return;
    Ask.close();
    return refer(kind, one);
  }

  // refer says UNDO or YES to an entry.
  function refer(kind, one) {
    referred = performance.now();
    one[kind === "undo" ? "undone" : "agreed"] = true;
    if (kind === "undo") Press.undone(one.id); // the station may be far
    return add({kind, of: one.id});
  }

  // refers is what a YES or an UNDO that was typed or read would do; null for
  // other texts, and where the page knows nothing that could be meant.
  function refers(text) {
    const kind = ["undo", "yes"].find(k => same(k, text));
    const one = kind && log.find(kind === "undo" ? undoable : agreeable);
    return one ? () => refer(kind, one) : null;
  }

  // kept is what is said of an entry without an answer yet.
  const kept = i => ({state: "kept", word: "KEPT", line: (i.typed ? i.typed + ", kept on this phone" : "on this phone") + (i.stage ? ", at " + i.stage : "") + ($("pair").hidden ? "; the station has not answered yet" : "; sent once this phone is paired"), code: i.what});

  // put writes into the place of the last answer.
  function put(a) {
    $("answer").dataset.state = a.state;
    $("mark").setAttribute("d", marks[a.state] || "");
    $("says").textContent = a.word || "";
    $("whose").textContent = a.code || "";
    $("line").textContent = a.line || "";
    $("load").hidden = !a.force && !a.stress;
    $("load").textContent = [a.force, a.stress].filter(Boolean).join(" · ");
    $("do").replaceChildren(...items(a.do));
    $("more").replaceChildren(...rest(a.more || []));
    $("answer").append(...(a.state === "asks" ? [$("more"), $("do")] : [$("do"), $("more")])); // why it asks comes first
    $("answer").scrollTop = 0;
    reach();
  }

  // reach lets the key Tab come to an answer that is longer than its place.
  function reach() { $("answer").tabIndex = $("answer").scrollHeight > $("answer").clientHeight ? 0 : -1; }

  // rest is what else is said: a few sentences, and a button for the others.
  function rest(all) {
    const first = all.length > few + 1 ? all.slice(0, few) : all, left = all.length - first.length;
    const open = () => Ask.open($("says").textContent, make("ul", {}, ...items(all)), Ask.choice("BACK", "", () => {}));
    return [...items(first), ...(left ? [make("li", {}, button(left + " MORE", "", open))] : [])];
  }

  let last = "";

  function show() {
    if (log.length) {
      const a = log[0].answer || kept(log[0]), text = JSON.stringify(a);
      if (text !== last) put({code: log[0].what, ...a});
      last = text;
    }
    name($("undo"), log.find(undoable));
    name($("yes"), log.find(agreeable));
    earlier();
    looks();
    Memory.put("log", log);
  }

  // called is how a button names an entry; there may be two photographs.
  const called = i => i.what === "photograph" ? i.what + " " + hour(i.at) : i.what;

  // name writes under a button which entry it would mean. A button that loses its
  // meaning under the focus hands it to the answer.
  function name(b, one) {
    const held = document.activeElement === b;
    b.disabled = !one;
    b.querySelector("small").textContent = one ? called(one) : "";
    b.onclick = one ? event => tapped(event, b.id, one) : null;
    if (held && !one) $("answer").focus();
  }

  function earlier() {
    const before = log.slice(1), shown = before.filter((i, at) => at < longest || wants(i)), left = before.length - shown.length;
    $("past").hidden = !before.length;
    $("earlier").replaceChildren(...shown.map(row), ...(left ? [make("li", {}, left + " more are kept on this phone.")] : []));
  }

  // looks counts, near the last answer, the earlier ones that somebody has to look at.
  function looks() {
    const open = log.slice(1).filter(wants), bad = open.filter(i => i.answer.state === "bad").length, asks = open.length - bad;
    const text = [bad && bad + " NOT TAKEN", asks && asks + (asks > 1 ? " ASK" : " ASKS")].filter(Boolean).join(", ");
    $("open").hidden = !open.length;
    $("open").textContent = "EARLIER: " + text;
    $("open").onclick = () => look(open);
  }

  function look(open) {
    Ask.open("Look at these", make("ul", {}, ...open.map(row)), Ask.choice("BACK", "", () => {}));
  }

  function seen(i) {
    Ask.close();
    i.seen = true;
    trim();
    show();
  }

  function row(i) {
    const a = i.answer || kept(i);
    const li = make("li", {}, make("b", {}, i.what), ` ${a.word}, ${hour(i.at)}. ${a.line}`);
    li.dataset.state = a.state;
    if (agreeable(i)) li.append(button("YES", i.what, event => tapped(event, "yes", i)));
    if (agreeable(i) && undoable(i)) li.append(button("UNDO", i.what, event => tapped(event, "undo", i)));
    if (wants(i)) li.append(button("SEEN", i.what, () => seen(i)));
    return li;
  }

  // reading says that a photograph is looked at; the next answer takes its place.
  function reading(word, line) { last = ""; put({state: "reading", word, line}); }

  // follow forgets what is shown of another study than the one that is served now: UNDO
  // and YES would mean nothing there.
  function follow(state) {
    const study = state?.study.id;
    if (!study || study === Memory.get("study")) return;
    if (Memory.get("study")) log = [];
    Memory.put("study", study);
    show();
  }

  function start() {
    Queue.answers(answer);
    Queue.past().then(all => all.filter(a => item(a.id) && !item(a.id).answer).forEach(a => answer(a, item(a.id)))); // this page was closed when they came
    State.on(follow);
    State.on(meanwhile);
    new ResizeObserver(reach).observe($("answer"));
    setTimeout(gone, 3000); // once the queue is open
    setInterval(gone, 10_000);
    show();
  }

  return {start, add, answer, reading, show, what, refers};
})();
