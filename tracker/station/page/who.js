// Who works with this phone: written beside every entry.
const Who = (() => {
  let by = Memory.get("by", "");
  const card = ".WHO";

  const name = () => by;
  const people = () => State.get()?.people || [];

  function put(person) {
    by = person;
    Memory.put("by", by);
    show();
  }

  // hear takes a WHO card, of somebody known by his full name.
  function hear(text) {
    if (!text.startsWith(card)) return;
    const said = text.slice(card.length);
    put(people().find(p => same(p, said)) || said[0] + said.slice(1).toLowerCase());
  }

  function show() { $("by").textContent = by || "WHO?"; }

  function choose() {
    const typed = make("input", {ariaLabel: "Another name", maxLength: 60, required: true});
    const other = make("form", {}, typed, make("button", {}, "WRITE"));
    other.onsubmit = e => { e.preventDefault(); Ask.close(); put(typed.value.trim()); };
    Ask.open("Who works here?", ...people().map(p => Ask.choice(p, "", () => put(p))), other, Ask.choice("BACK", "", () => {}));
  }

  function start() {
    $("who").onclick = choose;
    State.on(s => { if (!by && s?.by) put(s.by); });
    show();
  }

  return {start, name, put, hear};
})();
