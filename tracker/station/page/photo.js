// A photograph: read in the page where the reader is there, queued with what it
// found, and shown with an outline round every code. What has none was missed.
const Photo = (() => {
  const few = 6, patience = 15000; // ms: a photograph that takes longer goes to the station unread
  let reading = 0, shown = null; // what lies on the canvas: {picture, size, entry, done}

  const busy = () => reading > 0;

  async function take(file) {
    if (!file) return;
    reading++;
    const mine = shown = {picture: null, size: null, entry: "", done: false};
    try {
      UI.reading("READING", "the photograph");
      await lay(mine, file);
      const read = await look(file);
      mine.size = read && {width: read.width, height: read.height};
      await send(mine, file, read ? read.found : null);
    } finally { reading--; }
  }

  // look reads with the page's own reader: null where it is not there, or too slow. At
  // the press the station's will do, since the label says whose turn it is.
  async function look(file) {
    if (!Reader.ready && !Stage.breaks()) return null;
    const late = new Promise(done => setTimeout(done, patience, null));
    try { return await Promise.race([Reader.read(file), late]); } catch { return null; }
  }

  // send queues it; one label at the press says whose turn it is.
  async function send(mine, file, found) {
    const codes = [...new Set((found || []).map(f => Check.code(f.text)).filter(Boolean))];
    draw(mine, (found || []).map(f => ({...f, state: "kept"})));
    if (Stage.breaks() && found?.length === 1 && codes.length === 1) {
      UI.show();
      return Press.turn(codes[0], file);
    }
    Measure.turn(codes.length === 1 ? codes[0] : found?.length === 1 ? found[0].text : "");
    mine.entry = (await UI.add({kind: "photo", found}, file)).id;
  }

  // outline takes the station's word on every code of the photograph shown.
  function outline(answer) {
    if (!shown?.entry || answer.id !== shown.entry) return;
    shown.done = true;
    draw(shown, answer.found);
  }

  // lay puts the photograph on the canvas, upright, no larger than a screen.
  async function lay(mine, file) {
    $("seen").hidden = false;
    try { mine.picture = await createImageBitmap(file); } catch { mine.picture = null; }
    if (mine !== shown) return;
    const {picture} = mine;
    const c = $("picture"), wide = picture ? picture.width / picture.height : 4 / 3;
    c.width = 1400;
    c.height = Math.round(1400 / wide);
    c.style.aspectRatio = String(wide);
    top();
    draw(mine, []);
    $("count").textContent = "";
  }

  // draw draws a photograph with its outlines, unless another one lies there by now.
  function draw(mine, found) {
    if (mine !== shown) return;
    const {picture, size} = mine, c = $("picture"), pen = c.getContext("2d");
    pen.clearRect(0, 0, c.width, c.height);
    if (picture) pen.drawImage(picture, 0, 0, c.width, c.height);
    const scale = c.width / (size?.width || picture?.width || c.width);
    found.filter(f => f.corners).forEach(f => frame(pen, f, scale));
    list(found);
  }

  const dashes = {kept: [6, 14], asks: [26, 14]};
  const signs = {good: "", asks: " ?", bad: " ×", kept: ""};

  // frame draws one code's outline, dark within light so that it shows on any
  // ground, and its word at the upper edge.
  function frame(pen, {text, corners, state}, scale) {
    const points = corners.map(([x, y]) => [x * scale, y * scale]);
    for (const [width, colour, dash] of [[16, "#fffefb", []], [8, "#161513", dashes[state] || []]]) {
      pen.beginPath();
      points.forEach(([x, y], i) => i ? pen.lineTo(x, y) : pen.moveTo(x, y));
      pen.closePath();
      if (state === "bad") { pen.moveTo(...points[0]); pen.lineTo(...points[2]); pen.moveTo(...points[1]); pen.lineTo(...points[3]); }
      pen.lineWidth = width;
      pen.strokeStyle = colour;
      pen.setLineDash(dash);
      pen.stroke();
    }
    word(pen, short(text) + (signs[state] ?? ""), points);
  }

  // short leaves out what all codes of a study have in common.
  const short = text => Check.written(text).replace(/^[A-Z]+-(?=\d)/, "");

  function word(pen, text, points) {
    pen.font = "bold 46px system-ui, sans-serif";
    pen.setLineDash([]);
    const wide = pen.measureText(text).width + 20;
    const x = Math.max(0, Math.min(pen.canvas.width - wide, Math.min(...points.map(p => p[0]))));
    const y = Math.max(0, Math.min(...points.map(p => p[1])) - 56);
    pen.fillStyle = "#161513";
    pen.fillRect(x, y, wide, 56);
    pen.fillStyle = "#fffefb";
    pen.fillText(text, x + 10, y + 45);
  }

  function list(found) {
    $("count").textContent = found.length === 1 ? "1 code outlined" : found.length + " codes outlined";
    $("picture").setAttribute("aria-label", "the photograph, " + $("count").textContent);
    const rows = found.map(f => [Check.written(f.text), f.says || "", f.state === "good" || f.state === "kept"]).sort(([a, , x], [b, , y]) => x - y || (a < b ? -1 : 1)); // what is not well first
    $("found").replaceChildren(...rows.map(([code, says]) => make("li", {}, make("b", {}, code), " ", says.replace(/^\S+: /, start => start === code + ": " || start === Check.code(code) + ": " ? "" : start))));
    $("fold").hidden = !rows.length;
    $("fold").open = rows.length <= few;
    $("fold").querySelector("summary").textContent = rows.length === 1 ? "1 code" : rows.length + " codes";
  }

  function away() {
    $("seen").hidden = true;
    shown?.picture?.close?.();
    shown = null;
  }

  // old puts away what was photographed before the stage that is now in force.
  function old() { if (!busy() && shown?.done) away(); }

  function start() {
    $("away").onclick = () => { away(); $("file").focus(); };
    Stage.on(old);
    $("file").onchange = async () => {
      const file = $("file").files[0];
      $("file").value = "";
      await take(file);
    };
  }

  return {start, take, outline, busy};
})();
