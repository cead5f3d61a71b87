// Reader reads the labels in a photograph on the phone itself, so that they are
// read with the network gone. It is fetched once the page is in use (page/fetch.js), and
// runs in a worker. Where it does not load, or a picture is too much for it, the station
// reads. Of the page it is handed State and atStation, which has the station read.
//
//   Reader.read(photo)    -> {found, width, height, by: "phone" | "station"}
//       photo is a Blob; corners are pixels of the photograph turned upright, as the
//       page shows it, and width and height its size, where the phone has read it.
//       Throws where neither could read: then nobody has looked at it.
//   Reader.frame(picture) -> {found, width, height}, or null at once while the reader
//       is busy or not there. picture is an ImageBitmap or VideoFrame, and is closed.
//   Reader.ready          whether photographs are read here
//   Reader.state          {name: "waiting" | "loading" | "ready" | "away" | "none", says}
//   Reader.on(f)          f(state), now and at every change
const Reader = (() => {
  // What has more pixels is drawn down to so many: a photograph to what shows the
  // smallest labels of a tray, and only where that shows nothing to more. Where
  // memory was short once it is the modest size from then on. A frame of the camera
  // is small, and nothing that takes long is tried on it.
  const ample = [7e6, 12e6], modest = [2e6], frameSize = [480e3];
  const patience = 40e3; // ms until a picture counts as too much
  const muchMemory = 250e6; // bytes; a worker that took more is made anew, which gives them back
  const mostFalls = 3; // after so many workers in a row that a picture ended, the station reads

  const says = {
    waiting: () => "",
    loading: size => `The reader is loading${size}; until it is here the station reads.`,
    ready: () => "",
    away: () => "The reader could not be loaded; it is tried again.",
    none: why => `The station reads the photographs, this phone cannot: ${why}.`,
  };

  let state = { name: "waiting", says: "" };
  let parts = null; // {script, module}: a worker starts from them without the network
  let worker = null;
  let list = "", told = null; // the codes that there are, and those that the worker has
  let busy = 0, last = Promise.resolve();
  let falls = 0, sizes = ample;
  const listeners = [];

  const tell = (name, more = "") => {
    state = { name, says: says[name](more) };
    listeners.forEach(f => f(state));
  };

  // fetchParts asks for the worker's script and its module.
  const fetchParts = async () => {
    const [script, module] = await Promise.all([fetch("/reader.js"), fetch("/reader.wasm")]);
    if (!script.ok || !module.ok) throw new Error("not sent");
    const size = module.headers.get("Content-Length");
    tell("loading", size ? `, ${(size / 1e6).toFixed(1)} MB` : "");
    return { script: await script.blob(), module: await WebAssembly.compileStreaming(module) };
  };

  // ask has a worker do one thing. One that fails, or takes too long, is broken.
  const ask = (w, what, transfer = []) => new Promise(done => {
    const end = answer => {
      clearTimeout(timer);
      done(answer);
    };
    const timer = setTimeout(end, patience, { wrong: "it takes too long", broken: true, late: true });
    w.onmessage = e => end(e.data);
    w.onerror = e => end({ wrong: e.message, broken: true });
    w.postMessage(what, transfer);
  });

  const startWorker = async () => {
    const url = URL.createObjectURL(parts.script);
    const w = new Worker(url);
    const { wrong } = await ask(w, { module: parts.module });
    URL.revokeObjectURL(url);
    if (wrong) {
      w.terminate();
      throw new Error(wrong);
    }
    return w;
  };

  const missing = () => ["WebAssembly", "Worker", "OffscreenCanvas", "createImageBitmap"].find(name => !(name in globalThis));

  // load makes the reader ready, or tells why not.
  const load = async () => {
    if (missing()) return tell("none", `its browser has no ${missing()}`);
    tell("loading");
    try {
      parts ??= await fetchParts();
    } catch {
      return tell("away");
    }
    try {
      worker = await startWorker();
      tell("ready");
    } catch (e) {
      tell("none", e.message);
    }
  };

  // renew puts another worker in the place of one.
  const renew = async () => {
    worker.terminate();
    worker = told = null;
    await load();
  };

  // fell is called of a picture that ended the worker.
  const fell = async why => {
    falls++;
    if (falls < mostFalls) return renew();
    worker.terminate();
    worker = null;
    tell("none", why);
  };

  const readHere = async (picture, how, transfer) => {
    const known = list;
    const { answer, wrong, broken, late, memory } = await ask(worker, { picture, ...how, list: known === told ? null : known }, transfer);
    told = known;
    if (broken) await fell(wrong);
    if (wrong) throw Object.assign(new Error(wrong), { short: broken && !late });
    falls = 0;
    if (memory > muchMemory) await renew();
    return answer;
  };

  const readPhoto = async photo => {
    try {
      return await readHere(photo, { sizes });
    } catch (e) {
      if (!e.short || sizes === modest) throw e;
      sizes = modest;
      return readHere(photo, { sizes });
    }
  };

  // inTurn does one thing after the other.
  const inTurn = does => {
    busy++;
    const done = last.then(does).finally(() => busy--);
    last = done.catch(() => null);
    return done;
  };

  const read = photo => inTurn(async () => {
    if (state.name === "away") await load();
    if (worker) {
      try {
        return { ...await readPhoto(photo), by: "phone" };
      } catch {} // the station may know better
    }
    return atStation(photo);
  });

  const frame = async picture => {
    if (worker && !busy) return inTurn(() => readHere(picture, { sizes: frameSize, quick: true }, [picture]));
    picture.close();
    return null;
  };

  // learn takes over which codes there are, and loads the reader the first time.
  const learn = ({ specimens, cards }) => {
    list = [...specimens.map(s => s.code), ...cards].join("\n");
    if (state.name === "waiting" || state.name === "away") inTurn(load);
  };
  State.on(learn);

  return {
    read, frame,
    get ready() { return worker !== null; },
    get state() { return state; },
    on: f => { listeners.push(f); f(state); },
  };
})();
