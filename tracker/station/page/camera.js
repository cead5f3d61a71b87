// The live camera, where the browser has one: several frames a second, a sound
// at each good read, the same label not twice in some seconds.
const Camera = (() => {
  const again = 6000, pause = 120; // ms
  let stream = null;
  const seen = new Map();

  const there = () => Boolean(navigator.mediaDevices?.getUserMedia);

  async function open() {
    try {
      stream = await navigator.mediaDevices.getUserMedia({video: {facingMode: "environment", width: {ideal: 1280}, height: {ideal: 960}}});
    } catch {
      return $("camera").hidden = true;
    }
    $("live").hidden = false;
    $("video").srcObject = stream;
    await $("video").play();
    $("still").focus();
    watch(stream);
  }

  // watch reads frame after frame until the camera is stopped.
  async function watch(mine) {
    while (stream === mine) {
      try { await frame(); } catch { /* one frame that cannot be read */ }
      await new Promise(done => setTimeout(done, pause));
    }
  }

  // frame looks, unless a try is in hand: its label is read.
  async function frame() {
    if (!Reader.ready || document.hidden || document.body.dataset.turn === "true" || !$("video").videoWidth) return;
    const read = await Reader.frame(await createImageBitmap($("video")));
    const sure = (read?.found || []).filter(f => !f.ambiguous && fresh(f.text));
    for (const f of sure) {
      Sense.tell("seen");
      await Ways.take(f.text, "camera");
    }
  }

  // fresh says whether a label has not been seen for some seconds; one that stays
  // in view stays seen.
  function fresh(text) {
    const now = performance.now(), before = seen.get(text);
    seen.set(text, now);
    return before === undefined || now - before > again;
  }

  function stop() {
    stream?.getTracks().forEach(t => t.stop());
    stream = null;
    $("live").hidden = true;
    $("camera").focus();
  }

  function start() {
    $("camera").hidden = !there();
    $("camera").onclick = () => stream ? stop() : open();
    $("still").onclick = stop;
  }

  return {start};
})();
