// Two of the four ways in: typing, and tapping one of those expected next. All
// four end in take, or in a photograph.
const Ways = (() => {
  const few = 6, still = 300;
  let all = false, drawn = 0, listed = null;
  let kept = new Set(); // codes that wait on this phone for the stage in force, which nobody expects again

  // take records a text, or at the press fills in whose turn it is.
  function take(text, via) {
    const code = Stage.breaks() && (same(text, Press.dummy) ? Press.dummy : Check.meant(text));
    if (code) return Press.turn(code);
    if (Stage.titled(text)) top();
    if (UI.refers(text)) return UI.refers(text)();
    Measure.turn(text);
    return UI.add({kind: "line", line: text, via});
  }

  // typed tests the check character before anything is sent.
  function typed(event) {
    event.preventDefault();
    const text = $("code").value.trim();
    if (!text) return;
    const codes = (State.get()?.specimens || []).map(s => s.code);
    const doubt = Check.doubt(text, codes);
    if (doubt) warn(text, doubt);
    else if (Stage.breaks() && Check.number(text) && !Check.meant(text)) ask("No specimen has the number " + text + ".", anyway(text));
    else send(text);
  }

  const anyway = text => button("SEND " + text.toUpperCase(), "anyway", () => send(text));

  // ask says what looks wrong, and what may be done.
  function ask(says, ...ways) {
    $("wrong").replaceChildren(make("p", {}, says), make("div", {}, ...ways));
    Sense.tell("bad");
  }

  function send(text) {
    $("code").value = "";
    $("wrong").replaceChildren();
    $("code").focus();
    take(text, "typed");
  }

  function warn(text, doubt) {
    const {at, near, fits} = doubt, typed = text.toUpperCase();
    const shown = make("p", {}, typed.slice(0, at), make("mark", {}, typed[at] || "?"), typed.slice(at + 1), " looks wrong there.",
      fits ? ` ${fits} would fit.` : "");
    const ways = make("div", {}, ...near.map(c => button(c, "", () => send(c))), anyway(text));
    $("wrong").replaceChildren(shown, ways);
    $("wrong").scrollIntoView({block: "nearest"});
    Sense.tell("bad");
  }

  // waits adds what is kept by now; fresh says that the station's list has what it recorded.
  async function waits(fresh) {
    const list = await Queue.list().catch(() => []), gone = list.filter(e => e.kind === "undo").map(e => e.of);
    const own = e => e.kind === "photo" ? (e.found || []).map(f => Check.code(f.text)) : [e.kind === "line" ? Check.meant(e.line) : e.break?.subject];
    const now = list.filter(e => e.stage === Stage.name() && !gone.includes(e.id)).flatMap(own);
    kept = new Set(fresh || gone.length ? now : [...kept, ...now]);
    expected();
  }

  // expected lists whose turn it is at the stage in force.
  function expected() {
    const state = State.get();
    const codes = (state?.next?.[Stage.name()] || []).filter(c => !kept.has(c));
    const lines = new Map((state?.specimens || []).map(s => [s.code, s]));
    const rows = codes.slice(0, all ? codes.length : few).map(c => make("li", {}, tap(c, lines.get(c))));
    if (codes.length > rows.length) rows.push(make("li", {}, button("SHOW ALL " + codes.length, "", () => { all = true; expected(); })));
    put(codes, rows);
  }

  // put changes the list only where it differs, and never while a finger is on it
  // or a photograph is being read.
  function put(codes, rows) {
    const text = Stage.name() + rows.map(r => r.textContent).join();
    if (text === listed) return;
    if (Photo.busy() || $("next").matches(":active")) return void setTimeout(expected, 200);
    const focus = document.activeElement?.dataset?.code;
    listed = text;
    drawn = performance.now();
    $("nexts").textContent = Stage.name() ? "Expected next: " + codes.length : "Expected next";
    $("expected").hidden = !codes.length;
    $("next").replaceChildren(...rows);
    if (focus) ($("next").querySelector(`[data-code="${CSS.escape(focus)}"]`) || $("nexts")).focus({preventScroll: true}); // never on another code: Enter would record it
  }

  // tap is a button for one code. A list that changed under the finger a moment
  // ago does not count as meant.
  function tap(code, specimen) {
    const b = button(code, [specimen?.name, specimen?.line].filter(Boolean).join(", "), event => {
      if (event.detail && performance.now() - drawn < still) return;
      take(code, "tap");
    });
    b.dataset.code = code;
    return b;
  }

  function start() {
    $("entry").onsubmit = typed;
    $("code").oninput = () => $("wrong").replaceChildren();
    State.on(() => waits(true));
    Queue.on(() => waits(false));
    Queue.answers(a => a.recorded || waits(true));
    Stage.on(() => { all = false; waits(true); });
  }

  return {start, take};
})();
