// What can be measured of a page as it lies: a list of what is wrong, in words.
// Called with the smallest size of letters in a drawing, in CSS pixels.
(smallest) => {
	const found = [], slack = 1;
	const root = document.documentElement;
	const px = (x) => x.toFixed(1);
	const shown = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true });
	const box = (r) => `${px(r.left)},${px(r.top)} to ${px(r.right)},${px(r.bottom)}`;
	const holds = (a, b) => b.left >= a.left - slack && b.right <= a.right + slack && b.top >= a.top - slack && b.bottom <= a.bottom + slack;
	const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > slack && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > slack;

	// named tells which element is meant: its path from the nearest id, and its words.
	const named = (e) => {
		let path = "";
		for (let n = e; n && n !== document.body; n = n.parentElement) {
			const same = n.parentElement ? [...n.parentElement.children].filter((c) => c.localName === n.localName) : [n];
			const own = n.getAttribute("class");
			path = n.localName + (n.id ? "#" + n.id : (own ? "." + own.trim().replace(/\s+/g, ".") : "") +
				(same.length > 1 ? `:nth-of-type(${same.indexOf(n) + 1})` : "")) + (path ? ">" + path : "");
			if (n.id) break;
		}
		const words = e.textContent.trim().replace(/\s+/g, " ").slice(0, 40);
		return words && e.localName !== "svg" ? `${path} "${words}"` : path;
	};

	const scrolled = (e) => {
		for (let n = e.parentElement; n && n !== document.body; n = n.parentElement) {
			if (/auto|scroll/.test(getComputedStyle(n).overflowX)) return n;
		}
		return null;
	};

	const width = () => {
		if (root.scrollWidth > root.clientWidth) {
			found.push(`page is ${root.scrollWidth} px wide in a window of ${root.clientWidth}`);
		}
		for (const e of document.body.querySelectorAll("*")) {
			if (e.ownerSVGElement || !shown(e) || scrolled(e) || e.scrollWidth === 0) continue;
			const r = e.getBoundingClientRect(), out = (x) => x.right > root.clientWidth + slack || x.left < -slack;
			if (r.width > 1 && out(r) && !out(e.parentElement.getBoundingClientRect())) found.push(`${named(e)} reaches out of the window: ${box(r)}`);
		}
	};

	// On a screen and on paper there is room: nothing may need to be scrolled sideways.
	const sideways = () => {
		if (root.clientWidth < 1200 && !matchMedia("print").matches) return;
		for (const e of document.body.querySelectorAll("*")) {
			if (e.scrollWidth > e.clientWidth + slack && /auto|scroll|hidden|clip/.test(getComputedStyle(e).overflowX) && !e.ownerSVGElement && shown(e)) {
				found.push(`${named(e)} shows ${e.clientWidth} px of ${e.scrollWidth} px`);
			}
		}
	};

	// ink is where the letters of a text are, which is less than its line.
	const pen = document.createElement("canvas").getContext("2d");
	const ink = (t) => {
		const r = t.getBoundingClientRect(), m = t.getScreenCTM(), n = t.getNumberOfChars();
		if (!n || Math.abs(m.b) > 1e-6) return r;
		const y = t.getStartPositionOfChar(0).y;
		for (let i = 1; i < n; i++) if (Math.abs(t.getStartPositionOfChar(i).y - y) > 0.01 || t.getRotationOfChar(i)) return r;
		const style = getComputedStyle(t);
		pen.font = `${style.fontStyle} ${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
		const size = pen.measureText(t.textContent), base = m.f + m.d * y;
		return { left: r.left, right: r.right, top: base - m.d * size.actualBoundingBoxAscent, bottom: base + m.d * size.actualBoundingBoxDescent };
	};

	const hidden = "defs,clipPath,marker,symbol,pattern,mask";
	const isShape = "path,line,rect,circle,ellipse,polyline,polygon,use,image";

	const rgb = (text) => {
		const m = text.match(/rgba?\(([\d.]+),? ([\d.]+),? ([\d.]+)(?:[,/ ]+([\d.]+))?\)/);
		return m ? [+m[1], +m[2], +m[3], m[4] === undefined ? 1 : +m[4]] : null;
	};
	const over = (c, under) => [0, 1, 2].map((i) => c[i] * c[3] + under[i] * (1 - c[3])).concat(1);
	const light = (c) => {
		const l = [0, 1, 2].map((i) => c[i] / 255).map((x) => (x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4));
		return 0.2126 * l[0] + 0.7152 * l[1] + 0.0722 * l[2];
	};
	const contrast = (a, b) => (Math.max(light(a), light(b)) + 0.05) / (Math.min(light(a), light(b)) + 0.05);
	const paint = (e, what) => {
		const style = getComputedStyle(e), c = rgb(style[what]);
		if (!c || style[what] === "none") return null;
		let faint = +style[what + "Opacity"];
		for (let n = e; n; n = n.parentElement) faint *= +getComputedStyle(n).opacity;
		return [c[0], c[1], c[2], c[3] * faint];
	};
	const ground = (e) => {
		for (let n = e; n; n = n.parentElement) {
			const c = rgb(getComputedStyle(n).backgroundColor);
			if (c && c[3] > 0) return over(c, [255, 255, 255, 1]);
		}
		return [255, 255, 255, 1];
	};

	// under is the colour that a text stands on: the page's, and each filled
	// shape over it that was drawn earlier and covers a part of it.
	const under = (t, where, shapes, page) => {
		const grounds = [page];
		for (const s of shapes) {
			if (!(s.compareDocumentPosition(t) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
			const fill = paint(s, "fill"), r = s.getBoundingClientRect();
			if (fill && fill[3] > 0 && meet(r, where) && s.localName !== "path") {
				if (holds(r, where)) grounds.splice(0, grounds.length, ...grounds.map((g) => over(fill, g)));
				else grounds.push(...grounds.map((g) => over(fill, g)));
			}
		}
		return grounds;
	};

	const drawing = (svg) => {
		const frame = svg.getBoundingClientRect(), page = ground(svg);
		if (frame.width === 0 || frame.height === 0) return found.push(`${named(svg)} has no size`);
		if (!holds(svg.parentElement.getBoundingClientRect(), frame)) {
			found.push(`${named(svg)} reaches out of its ${svg.parentElement.localName}: ${box(frame)} in ${box(svg.parentElement.getBoundingClientRect())}`);
		}
		const drawn = (list) => [...svg.querySelectorAll(list)].filter((e) => !e.closest(hidden) && shown(e));
		const shapes = drawn(isShape), texts = drawn("text").filter((t) => t.textContent.trim());
		for (const e of shapes.filter((e) => !e.closest("[clip-path]")).concat(texts)) {
			if (!holds(frame, e.getBoundingClientRect())) found.push(`${named(e)} reaches out of its drawing: ${box(e.getBoundingClientRect())} in ${box(frame)}`);
		}
		letters(texts, shapes, page);
		greys(svg, shapes);
	};

	// struck reports whether a line that can be seen runs through a text. Letters
	// with a halo in the colour of the page are left alone, and so are lines that
	// end behind a ground of the text's own.
	const struck = (t, where, s, shapes, page) => {
		const line = paint(s, "stroke"), at = s.getScreenCTM(), halo = getComputedStyle(t);
		if (!line || !s.isPointInStroke || contrast(over(line, page), page) < 3 || (halo.paintOrder.startsWith("stroke") && halo.stroke !== "none")) return false;
		const before = (a, b) => a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING;
		const grounds = shapes.filter((g) => before(s, g) && before(g, t) && (paint(g, "fill") || [0, 0, 0, 0])[3] === 1).map((g) => g.getBoundingClientRect());
		const back = at.inverse(), y = (where.top + where.bottom) / 2;
		for (let x = where.left + slack; x < where.right - slack; x++) {
			if (!grounds.some((g) => g.left <= x && g.right >= x && g.top <= y && g.bottom >= y) &&
				s.isPointInStroke(new DOMPoint(x, y).matrixTransform(back))) return true;
		}
		return false;
	};

	const letters = (texts, shapes, page) => {
		const inks = texts.map(ink);
		texts.forEach((t, i) => {
			for (let k = i + 1; k < texts.length; k++) {
				if (meet(inks[i], inks[k])) found.push(`${named(t)} and ${named(texts[k])} lie over each other: ${box(inks[i])} and ${box(inks[k])}`);
			}
			for (const s of shapes) {
				const r = s.getBoundingClientRect();
				if (/circle|path|use|polygon/.test(s.localName) && r.width < 20 && r.height < 20 && meet(r, inks[i])) {
					found.push(`${named(s)} lies over ${named(t)}: ${box(r)} and ${box(inks[i])}`);
				} else if (r.left <= inks[i].right && r.right >= inks[i].left && r.top <= inks[i].bottom && r.bottom >= inks[i].top && struck(t, inks[i], s, shapes, page)) {
					found.push(`${named(s)} runs through ${named(t)}: ${box(r)} and ${box(inks[i])}`);
				}
			}
			const size = parseFloat(getComputedStyle(t).fontSize) * Math.hypot(t.getScreenCTM().a, t.getScreenCTM().b);
			if (size < smallest - 0.05) found.push(`${named(t)} is ${px(size)} px high, less than ${smallest}`);
			if (/(…|\.\.\.)$/.test(t.textContent.trim())) found.push(`${named(t)} is cut short`);
			const fill = paint(t, "fill");
			if (!fill) return found.push(`${named(t)} has no colour`);
			for (const g of under(t, inks[i], shapes, page)) {
				const ratio = contrast(over(fill, g), g);
				if (ratio < 4.5) found.push(`${named(t)} has a contrast of ${ratio.toFixed(2)}:1 to rgb(${g.slice(0, 3).map(Math.round)})`);
			}
		});
	};

	// greys finds marks that differ in hue alone: the same kind of mark in two
	// colours that are one grey on paper.
	const vivid = (c) => Math.max(...c.slice(0, 3)) - Math.min(...c.slice(0, 3)) > 40;
	const greys = (svg, shapes) => {
		const kinds = new Map(), told = new Set();
		for (const s of shapes) {
			const style = getComputedStyle(s), fill = paint(s, "fill"), line = paint(s, "stroke");
			const colour = fill && fill[3] > 0 ? fill : line;
			if (!colour || colour[3] === 0) continue;
			const kind = [s.localName, s.localName === "path" ? s.getAttribute("d").replace(/[-+.\d\s,e]+/g, "") : "", !!(fill && fill[3]), !!(line && line[3]), style.strokeDasharray, style.strokeWidth].join("|");
			const seen = over(colour, [255, 255, 255, 1]);
			for (const other of kinds.get(kind) || []) {
				const pair = [s, other.s].map((x) => x.localName).join() + seen + other.seen;
				if (String(seen) !== String(other.seen) && (vivid(seen) || vivid(other.seen)) && contrast(seen, other.seen) < 1.2 && !told.has(pair)) {
					told.add(pair);
					found.push(`${named(s)} and ${named(other.s)} differ in hue alone: rgb(${seen.slice(0, 3).map(Math.round)}) and rgb(${other.seen.slice(0, 3).map(Math.round)})`);
				}
			}
			if (!kinds.has(kind)) kinds.set(kind, []);
			if (!kinds.get(kind).some((o) => String(o.seen) === String(seen))) kinds.get(kind).push({ s, seen });
		}
	};

	width();
	sideways();
	for (const svg of document.querySelectorAll("svg")) if (!svg.ownerSVGElement && shown(svg)) drawing(svg);
	for (const img of document.images) if (!img.complete || img.naturalWidth === 0) found.push(`${named(img)} shows no picture`);
	return found;
}
