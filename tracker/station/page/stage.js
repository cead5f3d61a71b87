// The stage in force on this phone, in large type across the top, and until when.
// It travels with every entry: what the person saw is what is recorded.
const Stage = (() => {
  let held = Memory.get("stage", {name: "", until: 0});
  let shown = "", card = {n: 0};
  const listeners = [];

  const all = () => State.get()?.stages || [];
  const lasts = () => State.get()?.cardLasts || 0;
  const study = () => State.get()?.study.id;
  const running = () => settle() && held.name && Clock.now() < held.until && (!held.study || !study() || held.study === study());
  const name = () => running() ? held.name : "";
  const facts = () => all().find(s => s.name === name());
  const breaks = () => Boolean(facts()?.breaks);
  const measures = () => facts()?.measures || [];
  const on = f => listeners.push(f);

  // seen is the stage that stands in large type: an entry is recorded at that one, even
  // where it ended a moment ago.
  const seen = () => shown;

  // put puts a stage in force; without an end it lasts as long as a card does.
  function put(stage, until) {
    held = {name: stage, until: until ?? Clock.now() + lasts(), study: study(), byPhone: !until && Clock.ahead() === null};
    Memory.put("stage", held);
    show();
  }

  // settle corrects an end that was reckoned by the phone's own clock, which may be an
  // hour off, once that was compared with the station's.
  function settle() {
    if (held.byPhone && Clock.ahead() !== null) held = {...held, until: held.until - Clock.ahead(), byPhone: false};
    return true;
  }

  // used puts the end off, as every scan does.
  function used() { if (running()) put(held.name); }

  // hear puts the stage in force whose card or name this is. place is {n}: the number of
  // the entry, Infinity until it has one.
  function hear(text, place) {
    const stage = titled(text);
    if (!stage) return;
    card = place;
    put(stage.name);
  }

  const titled = text => all().find(s => s.text === text || same(s.name, text));

  // told takes what an answer says of the stage, unless a card came after that entry.
  function told({stage, n}) {
    if (stage && n >= card.n) put(stage.name, stage.until);
  }

  // follow takes the desk's stage where this phone has none of its own.
  function follow(state) {
    if (!held.name && state?.stage?.name) put(state.stage.name, state.stage.until);
    show();
  }

  function show() {
    const stage = facts(), now = name();
    const word = now ? (stage?.title || now.toUpperCase()) : "NO STAGE";
    $("word").textContent = word;
    $("stage").style.setProperty("--letters", Math.max(8, word.length));
    $("stage").dataset.wet = Boolean(stage?.wet);
    $("stage").dataset.none = !now;
    $("until").textContent = now ? "until " + hour(held.until) : held.name ? held.name + " ended " + hour(held.until) : "";
    care(stage);
    if (shown !== now) { shown = now; listeners.forEach(f => f(now)); }
  }

  function care(stage) {
    $("care").hidden = !stage?.caution;
    $("care").querySelector("summary").textContent = "Care at " + (stage?.name || "");
    $("care").querySelector("p").textContent = stage?.caution || "";
  }

  // look shows that a stage ended, be it that its time is over, that the phone slept
  // or that its clock was set.
  function look() { if (name() !== shown) show(); }

  function choose() {
    const choices = all().map(s => {
      const choice = Ask.choice(s.title, s.do, () => Ways.take(s.text, "tap"));
      if (s.name === name()) choice.setAttribute("aria-current", "true");
      return choice;
    });
    Ask.open("Stage", ...choices);
  }

  function start() {
    $("stage").onclick = choose;
    State.on(follow);
    setInterval(look, 1000);
    document.addEventListener("visibilitychange", look);
    show();
  }

  return {start, put, used, hear, told, titled, name, seen, breaks, measures, on};
})();
