// What hand and ear are told: each state has its own pattern of tones and of
// shakes, so that nobody needs to look.
const Sense = (() => {
  let context, quiet = Memory.get("quiet", false);

  // Tones as [Hz, from, for] in seconds; shakes as milliseconds on, off, on.
  const patterns = {
    good: {tones: [[660, 0, .09], [990, .1, .16]], shakes: [70]},
    asks: {tones: [[520, 0, .12], [520, .2, .12], [520, .4, .12]], shakes: [90, 90, 90, 90, 90]},
    bad: {tones: [[240, 0, .3], [150, .3, .45]], shakes: [500]},
    kept: {tones: [[440, 0, .06]], shakes: [30]},
    seen: {tones: [[1320, 0, .04]], shakes: [20]},
  };

  // Browsers make no sound before the first touch.
  function wake() {
    context ||= new (window.AudioContext || window.webkitAudioContext || Object)();
    context.resume?.();
  }

  function tone([pitch, from, length]) {
    const start = context.currentTime + from, swell = context.createGain(), source = context.createOscillator();
    source.type = "triangle";
    source.frequency.value = pitch;
    swell.gain.setValueAtTime(.0001, start);
    swell.gain.exponentialRampToValueAtTime(.6, start + .01);
    swell.gain.exponentialRampToValueAtTime(.0001, start + length);
    source.connect(swell).connect(context.destination);
    source.start(start);
    source.stop(start + length + .02);
  }

  function tell(state) {
    const pattern = patterns[state];
    if (!pattern) return;
    if (navigator.userActivation?.hasBeenActive !== false) navigator.vibrate?.(pattern.shakes);
    if (!quiet && context?.state === "running") pattern.tones.forEach(tone);
  }

  function hush() {
    quiet = !quiet;
    Memory.put("quiet", quiet);
    show();
  }

  function show() {
    $("quiet").textContent = quiet ? "SOUND IS OFF" : "SOUND IS ON";
    $("quiet").setAttribute("aria-pressed", String(!quiet));
  }

  function start() {
    addEventListener("pointerdown", wake);
    addEventListener("keydown", wake);
    $("quiet").onclick = hush;
    show();
  }

  return {start, tell};
})();
