// The reader of photographs, and with it the live camera, is fetched once the page is in
// use and the phone is paired.
// Until it is here, and where it cannot come, the station reads. What Reader has and does
// stands in reader/client.js.
const Reader = (() => {
  let real = null, coming = null, tries = 0;
  const listeners = [];
  const tell = () => listeners.forEach(f => f(state()));
  const state = () => real?.state || {name: "waiting", says: ""};

  async function atStation(photo) {
    const form = new FormData();
    form.append("photo", photo);
    return {...await Link.json("/read", {method: "POST", body: form}), by: "station"};
  }

  // come fetches it; a browser may keep what failed under its address, so each try has
  // its own.
  async function come() {
    try {
      real ??= (await import("/later.js?" + tries++)).default({$, State, Sense, Ways, atStation});
      real.on(tell);
    } catch { /* tried again at the next state or photograph */ }
    coming = null;
  }

  const fetched = () => real ? null : coming ??= come();
  State.on(fetched);

  return {
    async read(photo) { await fetched(); return (real?.read || atStation)(photo); },
    frame(picture) { return real ? real.frame(picture) : picture.close(); },
    get ready() { return Boolean(real?.ready); },
    get state() { return state(); },
    on(f) { listeners.push(f); f(state()); },
  };
})();
