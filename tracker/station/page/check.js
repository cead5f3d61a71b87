// The check character of a code, ISO/IEC 7064 MOD 37,36, as the station reckons
// it. Here it tells somebody who types which character looks wrong before it is
// sent; what a code means is the station's to say.
const Check = (() => {
  const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

  function character(payload) {
    let p = 36;
    for (const c of payload) p = ((p + alphabet.indexOf(c)) % 36 || 36) * 2 % 37;
    return alphabet[(37 - p) % 36];
  }

  const bare = text => text.toUpperCase().replace(/[\s-]/g, "");

  // splits lists the ways to cut text into a code; a check character may be a digit.
  function splits(text) {
    const ways = [];
    for (const shape of [/^([A-Z]{2,3}\d{3,5})([0-9A-Z])$/, /^([A-Z]{2,3}\d{3,5})([0-9A-Z])\/?([12])$/]) {
      const m = shape.exec(bare(text));
      if (m) ways.push({payload: m[1], check: m[2], half: m[3] || ""});
    }
    return ways;
  }

  const right = way => character(way.payload) === way.check;
  const whole = way => way.payload.replace(/^[A-Z]+/, "$&-") + "-" + way.check;

  // place is where the n-th character that counts stands in a text as typed.
  function place(text, n) {
    for (let i = 0; i < text.length; i++) if (!/[\s-]/.test(text[i]) && n-- === 0) return i;
    return text.length;
  }

  // code is the whole specimen's code as people write it, or "" for what is none.
  function code(text) {
    const way = splits(text).find(right);
    return way ? whole(way) : "";
  }

  // written is a code as people write it, its half included; other texts as they are.
  function written(text) {
    const way = splits(text).find(right);
    return way ? whole(way) + (way.half && "/" + way.half) : text;
  }

  // meant is the code of the specimen of this study that a text stands for: its code,
  // its bare number or its own name; "" for what is none.
  function meant(text) {
    const all = State.get()?.specimens || [], n = number(text);
    return code(text) || all.find(s => n ? Number(/\d+/.exec(s.code)) === n : s.name && same(s.name, text))?.code || "";
  }

  // number is a bare number, "#7" or "7/2", as such; 0 for other texts.
  const number = text => Number(/^\s*#?(\d{1,5})(?:\s*\/\s*[12])?\s*$/.exec(text)?.[1] || 0);

  // differs is the place of the one character in which two texts differ, else -1.
  function differs(a, b) {
    if (a.length !== b.length) return -1;
    const places = [...a].map((c, i) => c === b[i] ? -1 : i).filter(i => i >= 0);
    return places.length === 1 ? places[0] : -1;
  }

  // doubt says what looks wrong about a typed code: {at, near, fits}, the place of
  // a character in the text, the codes of the list that differ there
  // alone, and the check character that would fit. Null for what is right, and for
  // what is no code at all.
  function doubt(text, codes) {
    const ways = splits(text);
    if (ways.some(right)) return null;
    const typed = bare(text).replace(/\/[12]$/, "");
    const near = codes.map(c => ({code: c, at: differs(typed, bare(c))})).filter(n => n.at >= 0).slice(0, 3);
    if (!ways.length && !near.length) return null;
    const at = near.length ? near[0].at : ways[0].payload.length;
    return {at: place(text, at), near: near.map(n => n.code), fits: near.length ? "" : character(ways[0].payload)};
  }

  return {character, code, meant, number, written, doubt};
})();
