// What concerns the phone itself: pairing, what is kept, no network, the reader.
const Phone = (() => {
  let kept = 0, loose = 0, last = null; // what the queue told last

  const links = {away: "NO NETWORK", busy: "STATION BUSY"};
  const full = "This phone has no room left: what is kept is lost when the page is closed. Save it, or wait until it is sent.";

  // pair asks for the code on the terminal; the queue is kept meanwhile.
  function pair() {
    if (!$("pair").hidden) return;
    $("pair").hidden = false;
    known(Boolean(State.get()));
    $("revoked").hidden = !State.get();
    $("called").value ||= Memory.get("called", "");
    UI.show();
    if (document.activeElement === document.body) ($("token").value ? $("called") : $("token")).focus(); // whoever types goes on where they are
  }

  // known shows a phone that never knew a study how to pair, and nothing else.
  function known(yes) {
    document.body.dataset.paired = yes;
    $("stage").disabled = !yes;
    if (!yes) Hand.put("This phone is not paired yet. Photograph the symbol at the terminal, or type its code.");
    else if (!document.body.dataset.turn || document.body.dataset.turn === "false") Hand.put("");
  }

  // invited takes the code out of the address, where it came by a photographed symbol.
  function invited() {
    const m = /^#pair=(.+)$/.exec(location.hash);
    if (!m) return;
    history.replaceState(null, "", location.pathname);
    $("token").value = decodeURIComponent(m[1]);
    pair();
  }

  async function send(event) {
    event.preventDefault();
    try {
      await State.pair($("token").value.trim(), $("called").value.trim());
    } catch (e) {
      return $("unpaired").textContent = [e.message, e.do].filter(Boolean).join("; ");
    }
    Memory.put("called", $("called").value.trim());
    $("token").value = $("unpaired").textContent = "";
    $("stage").focus();
  }

  // stands says how the queue is.
  function stands(q) {
    ({kept, loose} = last = q);
    const alone = kept + q.refused.length;
    $("kept").textContent = kept ? "kept on this phone: " + kept : alone ? "not taken, kept here: " + alone : State.get() ? "all is at the station" : "";
    $("lost").textContent = q.slow ? "SENDING A PHOTOGRAPH" : links[q.link] || "";
    $("net").dataset.lost = q.link === "away" && !q.slow;
    $("warned").textContent = q.warn || (loose ? full : "");
    refused(q.refused);
    $("unsent").disabled = !alone;
    if (q.paired === false) pair();
  }

  // refused lists what the station will not have as it is: it stays here until
  // somebody sends it again or drops it.
  function refused(all) {
    $("refused").hidden = !all.length;
    $("refused").replaceChildren(...all.map(({entry, error, do: what}) => make("div", {},
      make("p", {}, make("b", {}, UI.what(entry)), " " + error), make("p", {className: "do"}, what),
      button("SEND AGAIN", "", () => Queue.again(entry.id)), " ", button("DROP", "", () => Ask.sure("Drop " + UI.what(entry) + " for good?", () => Queue.drop(entry.id))))));
  }

  function reader() {
    $("loading").textContent = Reader.state.says;
    $("readies").textContent = Reader.state.says || (Reader.ready ? "This phone reads photographs itself." : "");
  }

  // leaving loses what only this window holds.
  function leaving(event) {
    if (loose) event.preventDefault();
  }

  // save hands over a file of what is unsent, for the machine of the study to take in.
  async function save() {
    const file = await Queue.save(), url = URL.createObjectURL(file);
    make("a", {href: url, download: file.name}).click();
    setTimeout(() => URL.revokeObjectURL(url), 60_000);
  }

  function study(s) {
    if (!s) return;
    $("study").textContent = s.study.title;
    document.title = s.study.title + " · soaktag";
    if (State.live()) $("pair").hidden = true;
    known(true);
    if (last) stands(last);
  }

  function start() {
    $("pairing").onsubmit = send;
    $("unsent").onclick = save;
    addEventListener("beforeunload", leaving);
    State.on(study);
    Queue.on(stands);
    Reader.on(reader);
    invited();
    addEventListener("hashchange", invited); // the symbol is photographed while the page is open
  }

  return {start, pair};
})();
