// The pad at the press: one try at a time. What force and stress it makes is
// said by the station after saving, so that no number leans on the last one.
const Press = (() => {
  let code = "", label = null, parted = "";

  const facts = () => State.get()?.press || {rigs: [], endings: [], modes: []};
  const chosen = name => document.querySelector(`#try input[name=${name}]:checked`)?.value || "";
  const ending = () => facts().endings.find(e => e.name === chosen("ended"));

  // pick is one of several, as large as a thumb.
  function pick(name, value, text, checked) {
    return make("label", {className: "pick"}, make("input", {type: "radio", name, value, checked, onchange: fit}), make("span", {}, text));
  }

  // turn says whose turn it is; a photograph of its label comes with the try.
  function turn(text, photo = null) {
    code = text;
    label = photo;
    subject();
    $("faces").hidden = true;
    document.querySelector("main").scrollTop = 0;
    $("reading").focus();
    Sense.tell("seen");
  }

  function subject() {
    $("subject").textContent = code || "Whose turn? Photograph, type or tap its label.";
    $("try").hidden = !code;
    document.body.dataset.turn = Boolean(code && Stage.breaks());
  }

  // fit shows what a try that ended so has: a reading, faces to judge; and the unit
  // of the gauge of the rig in use.
  function fit() {
    const rig = facts().rigs.find(r => r.name === chosen("rig")) || facts().rigs[0], end = ending();
    $("unit").textContent = rig?.unit || "";
    $("reading").disabled = end?.reads === false;
    $("wood").disabled = $("modes").disabled = end?.parts === false;
    if (rig) Memory.put("rig", rig.name);
  }

  function lists() {
    const {rigs, endings, modes} = facts(), rig = chosen("rig") || Memory.get("rig") || rigs[0]?.name, end = chosen("ended") || endings[0]?.name, mode = chosen("mode");
    fill($("rigs"), rigs.map(r => pick("rig", r.name, r.name, r.name === rig)));
    $("rigs").hidden = rigs.length < 2;
    fill($("endings"), endings.map(e => pick("ended", e.name, e.title, e.name === end)));
    fill($("modes"), modes.map(m => pick("mode", m.name, m.title, m.name === mode)));
    fit();
  }

  // fill puts what may be picked below the legend, unless it stands there.
  function fill(set, picks) {
    const legend = set.querySelector("legend"), texts = picks.map(p => p.textContent).join();
    if (set.dataset.holds === texts) return;
    set.dataset.holds = texts;
    set.replaceChildren(legend, ...picks);
  }

  const typed = id => $(id).disabled ? "" : $(id).value.trim();

  async function save(event) {
    event.preventDefault();
    if (!code) return;
    const tried = {subject: code, rig: chosen("rig") || facts().rigs[0]?.name || "", reading: typed("reading"),
      ended: chosen("ended"), wood: typed("wood"), mode: $("modes").disabled ? "" : chosen("mode")};
    const parts = ending()?.parts;
    await UI.add({kind: "break", break: tried}, label);
    parts ? faces(code) : next();
  }

  // faces asks for both fracture faces of a bond that came apart.
  function faces(of) {
    parted = of;
    $("faces").hidden = false;
    $("parted").textContent = "Both faces of " + of;
    for (const half of [1, 2]) $("face" + half).parentElement.dataset.taken = "false";
    next();
    document.querySelector("main").scrollTop = 0;
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
    code = "";
    label = null;
    $("reading").value = $("wood").value = "";
    document.querySelectorAll("#try input[name=mode]").forEach(i => i.checked = false);
    const first = document.querySelector("#try input[name=ended]");
    if (first) first.checked = true;
    subject();
    fit();
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
    $("another").onclick = () => { next(); $("code").focus(); };
    $("face1").onchange = () => face(1);
    $("face2").onchange = () => face(2);
    State.on(lists);
    Stage.on(show);
    lists();
    show();
  }

  return {start, turn, show};
})();
