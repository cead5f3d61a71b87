// Pages of the station, shown in this one: it is never left, since offline a
// reload would lose it. Buttons in them are obeyed by what they carry.
const Places = (() => {
  const own = "phone"; // the page about this phone, which is here already
  let here = "", timer = 0, dress = null;

  // dressed has their style, which comes with the first of them.
  const dressed = () => dress ??= new Promise(done => document.head.append(make("link", {rel: "stylesheet", href: "/shown.css",
    onload: done, onerror() { dress = null; this.remove(); done(); }})));

  async function go(name) {
    here = name;
    mark();
    swap(true);
    $("shown").replaceChildren(name === own ? "" : "…");
    await load();
    $("show").focus();
    $("show").scrollIntoView({block: "start"});
  }

  // load fetches the page that is shown.
  async function load() {
    const wanted = here;
    if (!wanted || wanted === own) return;
    try {
      const [text] = await Promise.all([Link.text("/show/" + wanted), dressed()]);
      if (here === wanted) put(text);
    } catch (e) {
      if (here === wanted) refuse(e);
    }
  }

  function put(html) {
    $("shown").innerHTML = html;
    clearInterval(timer);
    const symbol = $("shown").querySelector("[data-every]");
    if (symbol) timer = setInterval(() => symbol.src = symbol.getAttribute("src").split("?")[0] + "?t=" + Date.now(), Number(symbol.dataset.every));
  }

  function refuse(e) {
    $("shown").replaceChildren(make("p", {}, e.error || "No network: this page comes when it is back."), make("p", {className: "do"}, e.do || ""));
  }

  // swap shows pages or the ways to record, not both: a phone is small.
  function swap(page) {
    $("show").hidden = !page;
    $("phone").hidden = here !== own;
    document.body.dataset.page = page;
    $("ways").hidden = $("past").hidden = page;
    if (!page) { clearInterval(timer); $("shown").replaceChildren(); UI.show(); }
    Press.show();
  }

  function back() {
    const from = here;
    here = "";
    mark();
    swap(false);
    $("places").querySelector(`[data-show="${from.split("?")[0]}"]`)?.focus({preventScroll: true});
    top();
  }

  function mark() {
    for (const b of $("places").querySelectorAll("[data-show]")) {
      if (b.dataset.show === here.split("?")[0]) b.setAttribute("aria-current", "page");
      else b.removeAttribute("aria-current");
    }
  }

  // obey does what a button says that it is for.
  function obey(event) {
    const b = event.target.closest("button");
    if (!b) return;
    const {show, line, stage, ended, accept, subject, press, ask} = b.dataset;
    const act = () => {
      if (ended) UI.add({kind: "ended", ended: {subject, how: ended}});
      else if (accept) UI.add({kind: "accept", accept: {subject, rule: accept}});
      else if (line) UI.add({kind: "line", line, via: "tap", ...(stage ? {stage} : {})});
      else if (stage) { Stage.put(stage); back(); if (press) Press.turn(press); }
      else if (show) go(show);
    };
    if (show || line || stage || ended || accept) ask ? Ask.sure(ask, act) : act();
  }

  // filter hides what does not hold the typed text.
  function filter(event) {
    const box = event.target.closest("[data-filter]");
    if (!box) return;
    const wanted = squash(box.value);
    for (const li of $("shown").querySelectorAll("[data-find]")) li.hidden = !squash(li.dataset.find).includes(wanted);
  }

  function start() {
    let head = "";
    $("places").onclick = $("show").onclick = obey;
    $("show").oninput = filter;
    $("back").onclick = back;
    State.on(s => { if (s && s.head !== head) { head = s.head; load(); } });
  }

  return {start, go};
})();
