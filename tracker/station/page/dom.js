// Pieces of the page, and what this phone remembers between visits.

const $ = id => document.getElementById(id);

// make returns an element with its properties and children.
function make(tag, properties = {}, ...children) {
  const e = Object.assign(document.createElement(tag), properties);
  e.append(...children);
  return e;
}

function button(text, small, act) {
  const b = make("button", {type: "button", onclick: act}, text);
  if (small) b.append(make("small", {}, small));
  return b;
}

const items = texts => (texts || []).map(t => make("li", {}, t));

// same compares names as cards are compared, by letters and digits only.
const squash = text => text.toUpperCase().replace(/[^\p{L}\p{N}]/gu, "");
const same = (a, b) => squash(a) === squash(b);

// hour is a time of the day where the study is, whatever zone the phone is in.
const hour = ms => new Date(ms).toLocaleTimeString("en-GB", {hour: "2-digit", minute: "2-digit", timeZone: State.get()?.study.zone});

// top shows what is needed now.
const top = () => { document.querySelector("main").scrollTop = 0; };

// Hand says in the place of the last answer what is in hand, where that answer would
// be taken for one about it.
const Hand = {
  put(text) {
    $("hand").textContent = text;
    $("hand").hidden = !text;
    document.body.dataset.hand = Boolean(text);
  },
};

// Memory is what a reload should not forget. A private window may have none.
const Memory = {
  get(key, otherwise) {
    try { return JSON.parse(localStorage.getItem("soaktag." + key)) ?? otherwise; } catch { return otherwise; }
  },
  put(key, value) {
    try { localStorage.setItem("soaktag." + key, JSON.stringify(value)); } catch { /* it is forgotten, no more */ }
  },
};

// Ask opens the one dialog of the page. Closing it brings the focus back to
// where it was.
const Ask = {
  open(title, ...choices) {
    $("asked").textContent = title;
    $("choices").replaceChildren(...choices);
    $("ask").showModal();
  },
  close() { $("ask").close(); },
  // choice is a button that closes the dialog and then acts.
  choice(text, small, act) { return button(text, small, () => { Ask.close(); act(); }); },
  sure(question, act) {
    Ask.open(question, Ask.choice("YES", "", act), Ask.choice("NO", "", () => {}));
  },
};
