// What a stage has people measure: the mass beside the label that was read last, how warm
// its bath is. Pages of the station ask in forms of the same kind.
const Measure = (() => {
  let of = "", bath = false; // whose label was read last at this stage

  // turn says whose label was read. What was typed stays with whom it was typed of.
  function turn(text) {
    if ($("gauge").value) return;
    of = Check.meant(text);
    const tag = !of && State.get()?.baths.find(b => b.text === text || same(b.name, text) || same("bath" + b.name, text));
    bath = Boolean(tag);
    if (bath) of = "bath " + tag.name;
    show();
  }

  function show() {
    const all = Stage.measures(), m = all.find(m => m.bath === bath) || all[0];
    $("measure").hidden = !m;
    if (!m) return;
    Object.assign($("measure").dataset, {measure: of, name: m.name, unit: m.unit});
    for (const e of $("measure").elements) e.disabled = !of;
    $("gauges").textContent = `${m.title}, ${m.unit}: ${of || "read its label first"}`;
  }

  // save sends what a form asks for; what is no number its browser does not let pass.
  function save(event) {
    const form = event.target, {measure: subject, name, unit} = form.dataset, field = form.querySelector("input");
    if (!name) return;
    event.preventDefault();
    UI.add({kind: "measure", measure: {subject, name, value: field.value.trim().replace(",", ".") + " " + unit}});
    field.value = "";
    if (form.id) turn(""); // the next value is of the label that is read next
  }

  // none begins anew: at another stage other things are measured.
  function none() {
    $("gauge").value = "";
    turn("");
  }

  function start() {
    document.addEventListener("submit", save);
    State.on(show);
    Stage.on(none);
    show();
  }

  return {start, turn};
})();
