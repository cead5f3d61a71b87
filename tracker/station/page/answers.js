// What came of the entries of this phone: the last one in large type, those
// before it in a list. Grey until the station has answered.
const UI = (() => {
  const marks = { // the report's marks: full, cannot tell, cross, hollow
    good: "M12 3a9 9 0 1 0 .01 0z", asks: "M12 2L22 12L12 22L2 12z",
    bad: "M4 4L20 20M20 4L4 20", kept: "M4 4H20V20H4z", reading: "M4 4H20V20H4z",
  };
  const longest = 12, few = 2;
  let log = Memory.get("log", []); // newest first: {id, n, what, at, stage, aside, of, answer, undone, agreed}

  // add queues an entry with what the page shows now, and says that it is kept.
  async function add(entry, blob) {
    const full = await Queue.add({stage: Stage.seen(), by: Who.name(), ...entry}, blob);
    Stage.used();
    cards(entry, full.n);
    const one = remember(full, "stage" in entry);
    if (!one.answer) Sense.tell("kept");
    show();
    return full;
  }

  // remember puts an entry into the list, in the order in which they were made: also
  // one from before this page was loaded, whose answer comes only now.
  function remember(entry, aside) {
    if (!item(entry.id)) {
      log.push({id: entry.id, n: entry.n, what: what(entry), at: Clock.now(), stage: entry.stage, aside, of: entry.of});
      log.sort((a, b) => b.n - a.n).splice(longest);
    }
    return item(entry.id) || {};
  }

  // cards obeys at once the cards that an entry holds: the station may be far.
  function cards(entry, n) {
    const texts = entry.kind === "line" ? [entry.line] : (entry.found || []).map(f => f.text).filter(t => t.startsWith("."));
    for (const text of texts) { Who.hear(text); Stage.hear(text, n); }
  }

  // what names an entry in a word or two.
  function what(entry) {
    switch (entry.kind) {
      case "line": return Stage.titled(entry.line)?.title || Check.code(entry.line) || entry.line.toUpperCase();
      case "photo": return "photograph";
      case "break": return entry.break.subject;
      case "faces": return entry.faces.subject;
      case "ended": return entry.ended.subject + " " + entry.ended.how;
    }
    return entry.kind.toUpperCase() + " " + (item(entry.of)?.what || "");
  }

  const item = id => log.find(i => i.id === id);

  // answer shows what the station said of an entry.
  function answer(a, entry) {
    const one = remember(entry, false), news = !one.answer;
    one.answer = a;
    if (!one.aside) Stage.told(a); // a button of a page has its own stage, for once
    if (a.by) Who.put(a.by);
    if (a.found) Photo.outline(a);
    if (one.of && a.state === "bad") again(item(one.of));
    if (news) Sense.tell(a.state);
    show();
  }

  // again lets UNDO and YES mean an entry once more, since the station did not do it.
  function again(one) { if (one) one.undone = one.agreed = false; }

  const undoable = i => !i.undone && (i.answer ? i.answer.undo : !i.of);
  const agreeable = i => !i.agreed && !i.undone && i.answer?.yes;

  // refer says UNDO or YES to an entry.
  function refer(kind, one) {
    one[kind === "undo" ? "undone" : "agreed"] = true;
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
  const kept = i => ({state: "kept", word: "KEPT", line: "on this phone" + (i.stage ? ", at " + i.stage : "") + "; the station has not answered yet", code: i.what});

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
    Memory.put("log", log);
  }

  // name writes under a button which entry it would mean. A button that loses its
  // meaning under the focus hands it to the answer.
  function name(b, one) {
    const held = document.activeElement === b;
    b.disabled = !one;
    b.querySelector("small").textContent = one ? one.what : "";
    b.onclick = one ? () => refer(b.id, one) : null;
    if (held && !one) $("answer").focus();
  }

  function earlier() {
    $("past").hidden = log.length < 2;
    $("earlier").replaceChildren(...log.slice(1).map(row));
  }

  function row(i) {
    const a = i.answer || kept(i);
    const li = make("li", {}, make("b", {}, i.what), ` ${a.word}, ${hour(i.at)}. ${a.line}`);
    li.dataset.state = a.state;
    if (agreeable(i)) li.append(button("YES", i.what, () => refer("yes", i)));
    if (agreeable(i) && undoable(i)) li.append(button("UNDO", i.what, () => refer("undo", i)));
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
    new ResizeObserver(reach).observe($("answer"));
    show();
  }

  return {start, add, answer, reading, show, what, refers};
})();
