// The pad at the press: one try at a time. What force and stress it makes is
// said by the station after saving, so that no number leans on the last one.
const Press = (() => {
  const patience = 1500; // ms: later the station is taken to be out of reach
  const twice = 700; // ms in which a second tap is still meant for SAVE
  const dummy = "dummy"; // it tries the rig: it has no label and no faces to judge
  let code = "", label = null, parted = "", broke = "";
  let saving = null, heard = null; // the try that waits for its answer {id, of, parts}; the last answer to one
  let closed = -twice; // when the form was closed: PHOTOGRAPH stands where SAVE was

  const facts = () => State.get()?.press || {rigs: [], endings: [], modes: []};
  const chosen = name => document.querySelector(`#try input[name=${name}]:checked`)?.value || "";
  const ending = () => facts().endings.find(e => e.name === chosen("ended"));

  // pick is one of several, as large as a thumb.
  function pick(name, value, text, checked, means = "") {
    return make("label", {className: "pick"}, make("input", {type: "radio", name, value, checked, onchange: fit}), make("span", {}, text, " ", make("small", {}, means)));
  }

  // turn says whose turn it is; a photograph of its label comes with the try. What was
  // read off the gauge stays with whom it was read of.
  function turn(text, photo = null) {
    if (code && code !== text && (typed("reading") || typed("wood"))) return lack({at: "reading", says: `SAVE this one before ${text}, or take ANOTHER.`});
    code = text;
    label = photo;
    lack();
    subject();
    fit();
    $("faces").hidden = true;
    top();
    $("reading").focus();
    Sense.tell("seen");
  }

  function subject() {
    $("subject").textContent = code || "Whose turn? Photograph, type or tap its label.";
    $("try").hidden = !code;
    document.body.dataset.turn = Boolean(code && Stage.breaks());
    if (document.body.dataset.paired !== "false") Hand.put(code && !$("press").hidden ? "At the press: " + code : "");
  }

  // fit shows what a try that ended so has: a reading, faces to judge; and the unit
  // of the gauge of the rig in use.
  function fit() {
    const rig = facts().rigs.find(r => r.name === chosen("rig")) || facts().rigs[0], end = ending();
    $("unit").textContent = rig?.unit || "";
    $("reading").disabled = end?.reads === false;
    $("wood").disabled = $("modes").disabled = end?.parts === false || code === dummy;
    if (rig) Memory.put("rig", rig.name);
  }

  function lists() {
    const {rigs, endings, modes} = facts(), rig = chosen("rig") || Memory.get("rig") || rigs[0]?.name, end = chosen("ended") || endings[0]?.name, mode = chosen("mode");
    fill($("rigs"), rigs.map(r => pick("rig", r.name, r.name, r.name === rig)));
    $("rigs").hidden = rigs.length < 2;
    fill($("endings"), endings.map(e => pick("ended", e.name, e.title, e.name === end, e.means)));
    fill($("modes"), modes.map(m => pick("mode", m.name, m.title, m.name === mode, m.means)));
    fit();
  }

  // fill puts what may be picked below the legend, unless it stands there.
  function fill(set, picks) {
    const legend = set.querySelector("legend"), texts = picks.map(p => p.textContent).join();
    if (set.dataset.holds === texts) return;
    set.dataset.holds = texts;
    set.replaceChildren(legend, ...picks);
  }

  const typed = id => $(id).value.trim();

  // lacks is what a try cannot be saved with: {at, says, way}, the field, a sentence,
  // and a button for whoever means it so.
  function lacks() {
    const end = ending(), what = "\u201c" + end?.title + "\u201d";
    if (end?.needs && !typed("reading")) return {at: "reading", says: what + " wants the reading of the gauge.", way: button("WITHOUT A READING", "", bare)};
    for (const id of ["reading", "wood"]) {
      if ($(id).disabled && typed(id)) return {at: id, says: `With ${what} nothing is kept here: ${typed(id)}.`, way: button("LEAVE IT OUT", "", () => { $(id).value = ""; save(); })};
    }
    if (Number(typed("wood").replace(",", ".")) > 100) return {at: "wood", says: "Wood failure is 0 to 100 %."};
  }

  // lack says at its field what is missing; without one nothing is.
  function lack(one) {
    for (const id of ["reading", "wood"]) $(id).ariaInvalid = String(one?.at === id);
    $("lack").replaceChildren(...(one ? [make("p", {}, one.says), ...[one.way].filter(Boolean)] : []));
    if (!one) return;
    const field = $(one.at);
    (field.disabled && one.way || field).focus();
    $("lack").scrollIntoView({block: "center"});
    Sense.tell("bad");
  }

  // bare records that it was broken, with no reading: the station asks for it.
  async function bare() {
    const line = code;
    next();
    await UI.add({kind: "line", line, via: "tap"});
  }

  async function save(event) {
    event?.preventDefault();
    if (!code || saving) return;
    const missing = lacks();
    lack(missing);
    if (!missing) await send();
  }

  // send hands the try in. The form keeps all until the station has taken it, or is
  // out of reach.
  async function send() {
    const tried = {subject: code, rig: chosen("rig") || facts().rigs[0]?.name || "", reading: typed("reading"),
      ended: chosen("ended"), wood: typed("wood"), mode: $("modes").disabled ? "" : chosen("mode")};
    const mine = saving = {id: "", of: code, parts: ending()?.parts && code !== dummy};
    mine.id = (await UI.add({kind: "break", break: tried}, label)).id;
    if (heard?.id === mine.id) return settle(heard);
    setTimeout(() => saving === mine && settle({}), patience);
  }

  // told takes the station's answers to the try.
  function told(answer, entry) {
    if (entry?.kind !== "break") return;
    heard = answer;
    if (saving?.id === answer.id) settle(answer);
  }

  // settle goes on to the faces or to the next one, unless the try was not taken.
  function settle({state, line, do: what}) {
    const {id, of, parts} = saving;
    saving = null;
    if (code !== of) return;
    if (state === "bad") return lack({at: "reading", says: [line, ...(what || [])].join("; ")});
    broke = id;
    if (parts) return faces(of);
    next();
    $("answer").focus(); // SAVE, which had it, is gone
  }

  // undone asks for no faces of what was not broken after all.
  function undone(id) { if (id === broke) $("faces").hidden = true; }

  // faces asks for both fracture faces of a bond that came apart.
  function faces(of) {
    parted = of;
    $("faces").hidden = false;
    $("parted").textContent = "Both faces of " + of;
    for (const half of [1, 2]) $("face" + half).parentElement.dataset.taken = "false";
    next();
    $("face1").focus();
  }

  async function face(half) {
    const input = $("face" + half), file = input.files[0];
    input.value = "";
    if (!file) return;
    await UI.add({kind: "faces", faces: {subject: parted + "/" + half, wood: "", mode: "", shallow: ""}}, file);
    input.parentElement.dataset.taken = "true";
  }

  // next clears the pad; whoever comes next is tapped or read, never taken for granted.
  function next() {
    closed = performance.now();
    code = "";
    label = null;
    lack();
    $("reading").value = $("wood").value = "";
    document.querySelectorAll("#try input[name=mode]").forEach(i => i.checked = false);
    const first = document.querySelector("#try input[name=ended]");
    if (first) first.checked = true;
    subject();
    fit();
    top();
  }

  // pad has keys as large as a thumb; they write where a digit was wanted last.
  function pad() {
    let into = $("reading");
    for (const id of ["reading", "wood"]) $(id).onfocus = () => into = $(id);
    const key = (text, act) => { const b = button(text, "", act); b.onpointerdown = e => e.preventDefault(); return b; };
    const write = text => () => { if (!into.disabled) into.value += text; };
    const digit = d => key(d, write(d));
    const erase = key("⌫", () => into.value = into.value.slice(0, -1));
    erase.ariaLabel = "delete the last digit";
    $("pad").append(...["7", "8", "9"].map(digit), erase, ...["4", "5", "6", ".", "1", "2", "3", "0"].map(digit));
  }

  function show() {
    $("press").hidden = !Stage.breaks() || !$("show").hidden;
    subject();
  }

  function start() {
    pad();
    $("try").onsubmit = save;
    $("photo").onclick = event => { if (event.detail && performance.now() - closed < twice) event.preventDefault(); };
    $("another").onclick = () => { next(); $("code").focus(); };
    $("face1").onchange = () => face(1);
    $("face2").onchange = () => face(2);
    Queue.answers(told);
    State.on(lists);
    Stage.on(show);
    lists();
    show();
  }

  return {start, turn, show, undone, dummy};
})();
