// The scene: a boat cut open along its length, the bench above it, and the learner's hands between them.
// One module without imports. It sends actions and positions; readings come from the kernel. The only
// number made here is the one that follows the cell while it moves, taken from the map in view.drag.

// ---- small tools -------------------------------------------------------------------------------------

const SVG = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  for (const child of children) if (child !== null) node.append(child);
  return node;
}
const draw = (tag, attributes = {}, ...children) => fill(document.createElementNS(SVG, tag), attributes, children);
const make = (tag, attributes = {}, ...children) => fill(document.createElement(tag), attributes, children);
const clamp = (value, low, high) => Math.min(high, Math.max(low, value));
const capital = (text) => (text ? text[0].toUpperCase() + text.slice(1) : "");
const snap = (metres) => Math.round(metres * 100) / 100;
const metres = (value) => Number(value).toFixed(2);

function freshId() {
  if (globalThis.crypto?.randomUUID) return crypto.randomUUID();  // only there on https and loopback
  const bytes = globalThis.crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}

// ---- the moving display --------------------------------------------------------------------------------

// Bilinear value of the water's potential [mV] at (x, depth) [m]; outside the map, its nearest edge.
function waterAt(map, x, depth) {
  const place = (value, [low, high], count) =>
    clamp(((value - low) / (high - low)) * (count - 1), 0, count - 1);
  const fx = place(x, map.x_m, map.columns), fz = place(depth, map.depth_m, map.rows);
  const i = Math.min(Math.floor(fx), map.columns - 2), j = Math.min(Math.floor(fz), map.rows - 2);
  const a = fx - i, b = fz - j, at = (col, row) => map.water_mV[row * map.columns + col];
  return (at(i, j) * (1 - a) + at(i + 1, j) * a) * (1 - b) + (at(i, j + 1) * (1 - a) + at(i + 1, j + 1) * a) * b;
}

// Digits of each range: [full scale mV, divisor to the shown unit, decimals, unit]
const RANGES = { "200 mV": [200, 1, 1, "mV"], "2 V": [2000, 1000, 3, "V"], "20 V": [20000, 1000, 2, "V"], "200 V": [200000, 1000, 1, "V"] };

function digits(millivolts, dial) {
  const range = RANGES[dial];
  if (!range) return null;
  const [full, divisor, decimals, unit] = range;
  if (Math.abs(millivolts) >= full) return ["OL", unit];
  const text = (millivolts / divisor).toFixed(decimals);
  return [Number(text) === 0 ? text.replace("-", "") : text, unit];
}

// ---- names ------------------------------------------------------------------------------------------

const FAMILIES = {
  anode: "anode, alloy not marked", zinc: "zinc", aluminium: "aluminium", magnesium: "magnesium", steel: "steel", iron: "iron", stainless: "stainless steel",
  copper_alloy: "copper alloy", nickel_alloy: "nickel alloy", titanium: "titanium", carbon: "carbon", lead_tin: "lead and tin",
};
const familyName = (family) => FAMILIES[family] ?? family.replaceAll("_", " ");
const cellWords = (cell) => (cell.in_water
  ? `reference cell ${metres(cell.x_m)} m forward of the transom, ${metres(cell.depth_m)} m deep` : "reference cell out of the water");

// ---- where things are on the page ----------------------------------------------------------------------

const EDGE = 6, SCALE_ROOM = 62;  // px kept free at the left, and at the right for the depth scale
const OBLIQUE = { x: 0.25, up: -0.14 };  // metres on the page for each metre to port

function frameFor(view, width) {
  const { boat, berth, cell, parts } = view;
  const west = Math.min(cell.limits.x_m[0], ...parts.map((p) => p.x_m - p.length_m / 2)) - 0.1;
  const east = Math.max(cell.limits.x_m[1], boat.length_m);
  const tall = Math.max(...boat.profile.concat(boat.deckhouse).map(([, h]) => h));
  const scale = Math.min((width - EDGE - SCALE_ROOM) / (east - west), 86);
  const left = EDGE + (width - EDGE - SCALE_ROOM - scale * (east - west)) / 2 - west * scale;
  const surface = Math.max(tall * scale + 34, 150);
  const bed = surface + berth.depth_m * scale;
  const lean = (y) => clamp(y ?? 0, -1.6, 1.6);
  const at = (x, y, height) =>
    [left + scale * (x + OBLIQUE.x * lean(y)), surface - scale * (height + OBLIQUE.up * lean(y))];
  return { width, height: bed + 62, scale, left, surface, bed, west: left + west * scale, east: left + east * scale, at };
}
// Height [m] of the hull's upper edge at x, and the x on the hull nearest to it.
function gunwale(boat, x) {
  const xs = boat.profile.map(([px]) => px), near = clamp(x, Math.min(...xs), Math.max(...xs));
  let height = 0;
  boat.profile.forEach(([x1, h1], i) => {
    const [x2, h2] = boat.profile[(i + 1) % boat.profile.length];
    if (near < Math.min(x1, x2) || near > Math.max(x1, x2)) return;
    height = Math.max(height, x1 === x2 ? Math.max(h1, h2) : h1 + ((h2 - h1) * (near - x1)) / (x2 - x1));
  });
  return { x: near, height };
}

// ---- shapes of metal -----------------------------------------------------------------------------------

const HATCH = {
  anode: [6, "M0 0L6 6M6 0L0 6"], zinc: [7, "M0 0L7 7M7 0L0 7"], aluminium: [6, "M3 0V4"], magnesium: [5, "M1.5 2.5h2"],
  steel: [9, "M0 9L9 0M0 3L3 0M3 9L9 3"], iron: [10, "M0 0L10 10M7 0L10 3M0 3L7 10"], stainless: [4, "M0 2H4"], copper_alloy: [5, "M-1 1L1 -1M0 5L5 0M4 6L6 4"],
  nickel_alloy: [5, "M-1 4L1 6M0 0L5 5M4 -1L6 1"], titanium: [4, "M2 0V4"], carbon: [3, "M0 1.5H3M1.5 0V3"], lead_tin: [7, "M3.5 1V6M1 3.5H6"],
};
function hatches(uid) {
  return draw("defs", {}, ...Object.entries(HATCH).map(([family, [size, path]]) =>
    draw("pattern", { id: `${uid}-${family}`, width: size, height: size, patternUnits: "userSpaceOnUse" },
      draw("path", { d: path, fill: "none", stroke: "var(--ws-ink)", "stroke-width": family === "iron" ? 0.6 : 0.9 }))));
}

// Outline of each shape about its own middle, for a length of L pixels.
const SHAPES = {
  propeller: (L) => {
    const w = 0.17 * L, t = 0.5 * L;
    return `M0 0C${-w * 1.3} ${-0.1 * L} ${-w} ${-t} ${w * 0.1} ${-t}C${w} ${-t * 0.9} ${w} ${-0.1 * L} 0 0` +
      `C${w * 1.3} ${0.1 * L} ${w} ${t} ${-w * 0.1} ${t}C${-w} ${t * 0.9} ${-w} ${0.1 * L} 0 0Z` +
      `M${-0.24 * L} 0L${-0.1 * L} ${-0.08 * L}H${0.14 * L}V${0.08 * L}H${-0.1 * L}Z`;
  },
  shaft: (L) => `M${-L / 2} -3.5H${L / 2}V3.5H${-L / 2}Z`,
  rudder: (L) => {
    const w = 0.32 * L, t = 0.5 * L;
    return `M${-w} ${-0.28 * L}L${w} ${-0.34 * L}L${w * 0.8} ${t}H${-w * 0.7}Z M-3 ${-0.3 * L}V${-t - 6}H4V${-0.33 * L}Z`;
  },
  strut: (L) => `M${-0.1 * L} ${-L / 2}H${0.3 * L}L${0.12 * L} ${0.26 * L}H${0.3 * L}V${0.5 * L}H${-0.3 * L}V${0.26 * L}H${-0.1 * L}Z`,
  through_hull: (L) => {
    const w = Math.max(L, 13);
    return `M${-w * 0.7} ${w * 0.5}Q0 ${w * 0.9} ${w * 0.7} ${w * 0.5}V${w * 0.3}H${w * 0.3}V${-w * 0.5}H${w * 0.6}V${-w * 0.85}H${-w * 0.6}V${-w * 0.5}H${-w * 0.3}V${w * 0.3}H${-w * 0.7}Z`;
  },
  fitting: (L) => { const w = Math.max(L, 12) / 2; return `M${-w} ${w * 0.6}V${w * 0.2}H${-w * 0.4}V${-w}H${w * 0.4}V${w * 0.2}H${w}V${w * 0.6}Z`; },
  plate: (L) => `M${-L / 2} -3L${L / 2} -5V2L${-L / 2} 4Z`,
  engine: (L) => {
    const h = 0.3 * L;
    return `M${-0.5 * L} ${0.1 * h}H${-0.36 * L}V${-0.7 * h}H${-0.28 * L}V${-1.15 * h}H${0.3 * L}V${-0.7 * h}H${0.4 * L}V${-0.35 * h}H${0.46 * L}V${0.5 * h}H${0.38 * L}L${0.28 * L} ${h}H${-0.18 * L}L${-0.28 * L} ${0.55 * h}H${-0.5 * L}Z`;
  },
  strainer: (L) => `M${-0.32 * L} ${-0.36 * L}V${0.5 * L}H${0.32 * L}V${-0.36 * L}H${0.4 * L}V${-0.5 * L}H${-0.4 * L}V${-0.36 * L}Z`,
  collar_anode: (L) => { const w = Math.max(L, 15) / 2; return `M${-w} -4Q${-w * 0.7} ${-w} 0 ${-w}Q${w * 0.7} ${-w} ${w} -4V4Q${w * 0.7} ${w} 0 ${w}Q${-w * 0.7} ${w} ${-w} 4Z`; },
  plate_anode: (L) => `M${-L / 2} ${-0.16 * L}Q${-L / 2} ${-0.24 * L} ${-0.4 * L} ${-0.24 * L}H${0.4 * L}Q${L / 2} ${-0.24 * L} ${L / 2} ${-0.16 * L}V${0.16 * L}Q${L / 2} ${0.24 * L} ${0.4 * L} ${0.24 * L}H${-0.4 * L}Q${-L / 2} ${0.24 * L} ${-L / 2} ${0.16 * L}Z`,
  hanging_anode: (L) => `M0 ${-L / 2}C${0.34 * L} ${-0.3 * L} ${0.3 * L} ${0.36 * L} 0 ${L / 2}C${-0.3 * L} ${0.36 * L} ${-0.34 * L} ${-0.3 * L} 0 ${-L / 2}Z`,
};

// A shaft points from its propeller through its own middle; without a propeller it slopes as most do.
function slope(part, parts) {
  const shaft = part.shape === "shaft" ? part
    : parts.find((p) => p.shape === "shaft" && Math.abs(p.y_m - part.y_m) < 0.3);
  const screw = shaft && parts.find((p) => p.shape === "propeller" && Math.abs(p.y_m - shaft.y_m) < 0.3);
  if (!screw || Math.abs(shaft.x_m - screw.x_m) < 0.1) return -8;
  return -Math.atan2(shaft.height_m - screw.height_m, shaft.x_m - screw.x_m) * 180 / Math.PI;
}
const LIFTED = 0.25;  // m between the water and the foot of a lifted anode
const isLifted = (part) => part.hoistable && !part.lowered;
// The wires, each as places on the page; a contact of metal on metal is no wire, and a lifted anode takes its wire along.
function wirePaths(view, frame) {
  const up = new Set(view.parts.filter(isLifted).map((part) => part.id));
  return view.conductors.filter((wire) => !wire.contact).map((wire) => wire.path.map(([x, y, height], i) =>
    frame.at(x, y, up.has(i ? wire.to : wire.from) ? Math.max(height, LIFTED) : height)));
}
function middle(part, frame) {
  return frame.at(part.x_m, part.y_m, isLifted(part) ? LIFTED + part.length_m / 2 : part.height_m);
}
function metal(part, view, frame, uid) {
  const outline = SHAPES[part.shape] ?? SHAPES.plate, L = part.length_m * frame.scale, [x, y] = middle(part, frame);
  const atTransom = part.shape === "plate_anode" && part.x_m < 0.15;
  const turn = part.shape === "shaft" || part.shape === "collar_anode" ? slope(part, view.parts) : atTransom ? 90 : 0;
  const ink = { stroke: "var(--ws-ink)", "stroke-width": 1.4, "stroke-linejoin": "round" };
  const body = (size) => [
    draw("path", { d: outline(size), fill: "var(--ws-hull)", ...ink }),
    draw("path", { d: outline(size), fill: `url(#${uid}-${part.family in HATCH ? part.family : "steel"})`, ...ink }),
  ];
  const group = draw("g", { transform: `translate(${x} ${y}) rotate(${turn})`, "data-part": part.id });
  if (part.anode) {  // the worn outline inside the new one: areas in the ratio of what is left
    const worn = Math.sqrt(clamp(part.remaining, 0.02, 1));
    group.append(draw("path", { d: outline(L), fill: "var(--ws-hull)", ...ink, "stroke-width": 1, "stroke-dasharray": "3 2.5" }));
    group.append(draw("g", { transform: `scale(${worn})` }, ...body(L)));
  } else group.append(...body(L));
  return group;
}

// A link sits on the wire it opens, at the wire's nearest place to where the link is said to be.
function onWire(link, view, frame) {
  const [x, y] = frame.at(link.x_m, link.y_m, link.height_m), path = view.conductors.find((wire) => wire.id === link.id)?.path ?? [];
  let best = [x, y], reach = 40;
  path.map((p) => frame.at(...p)).forEach(([bx, by], i, all) => {
    if (!i) return;
    const [ax, ay] = all[i - 1], t = clamp(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2 || 1), 0, 1);
    const at = [ax + t * (bx - ax), ay + t * (by - ay)], far = Math.hypot(at[0] - x, at[1] - y);
    if (far < reach) { reach = far; best = at; }
  });
  return best;
}

// ---- labels --------------------------------------------------------------------------------------------

const meets = (a, b, room = 0) =>
  a.x - room < b.x + b.w && b.x < a.x + a.w + room && a.y - room / 2 < b.y + b.h && b.y < a.y + a.h + room / 2;
const side = (px, py, qx, qy, rx, ry) => (qx - px) * (ry - py) - (qy - py) * (rx - px);
const crosses = ([ax, ay], [bx, by], [cx, cy], [dx, dy]) =>
  side(ax, ay, bx, by, cx, cy) * side(ax, ay, bx, by, dx, dy) < 0 && side(cx, cy, dx, dy, ax, ay) * side(cx, cy, dx, dy, bx, by) < 0;
// Does the stretch from a to b enter the box? (clipped against its four sides in turn)
function cuts(box, [ax, ay], [bx, by]) {
  if (Math.max(ax, bx) < box.x || Math.min(ax, bx) > box.x + box.w || Math.max(ay, by) < box.y || Math.min(ay, by) > box.y + box.h) return false;
  let from = 0, to = 1;
  const clip = (gap, way) => {
    if (way === 0) return gap >= 0;
    const t = gap / way;
    if (way > 0) to = Math.min(to, t); else from = Math.max(from, t);
    return from < to;
  };
  return clip(ax - box.x, ax - bx) && clip(box.x + box.w - ax, bx - ax) && clip(ay - box.y, ay - by) && clip(box.y + box.h - ay, by - ay);
}
let ruler = null;
function textWidth(text, italic) {
  ruler ??= document.createElement("canvas").getContext("2d");
  ruler.font = `${italic ? "italic " : ""}16px "Segoe UI", "Helvetica Neue", "Liberation Sans", Arial, sans-serif`;
  return ruler.measureText(text).width;
}
function wrap(text, most) {
  const lines = [""];
  for (const word of text.split(" ")) {
    if (lines.at(-1) && (lines.at(-1) + " " + word).length > most) lines.push(word);
    else lines[lines.length - 1] = (lines.at(-1) + " " + word).trim();
  }
  return lines;
}
const LINE = 18;  // px from line to line of a label
const NUMBERS = ["", "", "two", "three", "four", "five", "six"];
function labelsFor(view, frame) {
  const groups = new Map();
  for (const part of view.parts) {
    const plain = part.label.replace(/\b(port|starboard)\s+/i, "");
    const key = [part.shape, part.metal, plain, part.inside].join("|");
    if (!groups.has(key)) groups.set(key, { plain, parts: [] });
    groups.get(key).parts.push(part);
  }
  const labels = [...groups.values()].map(({ plain, parts }) => {
    const many = parts.length > 1 ? `${NUMBERS[parts.length] ?? parts.length} ${plain.replace(/([^s])$/, "$1s")}` : parts[0].label;
    const near = parts.reduce((a, b) => (b.y_m > a.y_m ? b : a));  // one leader, to the nearest of them
    return { lines: [...wrap(capital(many), 24), ...(!parts[0].metal || plain.includes(parts[0].metal) ? [] : wrap(parts[0].metal, 30).map((t) => "~" + t))],
      end: middle(near, frame), foot: frame.at(near.x_m, near.y_m, near.height_m)[1], air: near.inside };
  });
  for (const point of view.points) {
    if (view.parts.some((p) => Math.hypot(p.x_m - point.x_m, p.height_m - point.height_m) < 0.45)) continue;
    labels.push({ lines: wrap(capital(point.label), 16), end: frame.at(point.x_m, point.y_m, point.height_m), air: true });
  }
  for (const link of view.links)
    labels.push({ lines: [...wrap(capital(link.label), 20), link.open ? "~open" : "~closed"], end: onWire(link, view, frame), air: true });
  for (const label of labels) {
    label.w = Math.max(...label.lines.map((t) => textWidth(t.replace("~", ""), t[0] === "~"))) + 8;
    label.h = label.lines.length * LINE + 2;
  }
  return labels;
}
function metalBox(part, frame) {
  const [x, y] = middle(part, frame), r = Math.max(part.length_m * frame.scale, 16) / 2;
  const half = part.shape === "plate" ? 6 : part.shape === "shaft" ? 0.2 * r : part.shape === "engine" ? 0.7 * r : r;
  return { x: x - r, y: y - half, w: 2 * r, h: 2 * half };
}
// What no label may lie on: metal, the columns where leads come down, and lines cut into short boxes.
function obstacles(view, frame) {
  // what can be lifted keeps both its places free, so that lifting it moves no other words
  const both = view.parts.filter((part) => part.hoistable).map((part) => ({ ...part, lowered: !part.lowered }));
  const boxes = [...view.parts, ...both].map((part) => metalBox(part, frame)), ring = (points) => points.map(([x, h]) => frame.at(x, 0, h));
  const line = (points) => points.forEach(([x, y], k) => {
    const [fx, fy] = points[Math.max(k - 1, 0)], steps = Math.ceil(Math.hypot(x - fx, y - fy) / 14);
    for (let t = 0; t < steps; t++) boxes.push({ w: Math.abs(x - fx) / steps + 2, h: Math.abs(y - fy) / steps + 2,
      x: Math.min(fx + ((x - fx) * t) / steps, fx + ((x - fx) * (t + 1)) / steps) - 1, y: Math.min(fy + ((y - fy) * t) / steps, fy + ((y - fy) * (t + 1)) / steps) - 1 });
  });
  line([...ring(view.boat.profile), ring(view.boat.profile)[0]]);
  line(ring(view.boat.deckhouse));
  wirePaths(view, frame).forEach(line);
  for (const point of view.points) { const [x, y] = frame.at(point.x_m, point.y_m, point.height_m); boxes.push({ x: x - 9, y: 0, w: 18, h: y + 6 }); }
  for (const link of view.links) { const [x, y] = onWire(link, view, frame); boxes.push({ x: x - 16, y: y - 18, w: 32, h: 24 }); }
  return boxes;
}
// Inside: each label takes the free place with the shortest leader that crosses no other.
function placeInside(labels, view, frame) {
  const boxes = obstacles(view, frame), placed = [];
  for (const label of labels) {
    const [ex, ey] = label.end;
    let best = Infinity;
    for (let y = 4; y <= frame.surface - label.h - 4; y += 6) for (let x = 4; x <= frame.east - label.w; x += 8) {
      const spot = { x, y, w: label.w, h: label.h }, tip = [clamp(ex, x + 6, x + label.w - 6), clamp(ey, y, y + label.h)];
      const far = Math.hypot(tip[0] - ex, tip[1] - ey), clash = (other) =>
        (cuts(other.spot, tip, label.end) || cuts(spot, other.path[0], other.end) ? 400 : 0) + (crosses(tip, label.end, other.path[0], other.end) ? 200 : 0);
      if (far >= best || boxes.some((box) => meets(box, spot)) || placed.some((other) => meets(spot, other.spot, 8))) continue;
      const value = placed.reduce((sum, other) => sum + clash(other), Math.max(far, 30 - far));
      if (value < best) { best = value; label.spot = spot; label.path = [tip, label.end]; }
    }
    if (label.spot) placed.push(label);
  }
  return placed;
}
// In the water: columns of steps. Sorted along the boat, the aftmost label of a column lies deepest, so that every leader
// comes straight down on its own label's left end and no two can cross. Where the water is too shallow for all of them,
// they stand under the drawing instead.
function placeOutside(labels, frame) {
  const sorted = [...labels].sort((a, b) => a.end[0] - b.end[0]), limit = frame.width - SCALE_ROOM - 8;
  const step = Math.max(...sorted.map((label) => label.h), 0) + 2;
  const shelf = Math.max(...sorted.map((label) => label.foot ?? label.end[1])) + 0.06 * frame.scale + 2;
  const room = Math.floor((frame.bed - shelf - 4) / step);
  for (let rows = Math.max(1, room); rows <= sorted.length; rows++) {
    const edges = Array(rows).fill(-Infinity), top = rows > room ? frame.bed + 54 : shelf + 4;
    for (let first = 0; first < sorted.length; first += rows) {
      const column = sorted.slice(first, first + rows).map((label, i, all) => ({ label, row: all.length - 1 - i }));
      let last = -Infinity;
      for (const { label, row } of column) {
        const x = last = Math.max(label.end[0] - 4, last + 14, Math.max(...edges.slice(0, row + 1)) + 12);
        label.spot = { x, y: top + row * step, w: label.w, h: label.h };
        label.path = [[x + 4, label.spot.y + 2], [x + 4, shelf], label.end];
      }
      for (const { label, row } of column) edges[row] = label.spot.x + label.w;
    }
    if (rows > room) frame.height = top + rows * step + 6;
    if (Math.max(...edges) <= limit) break;
  }
  return sorted;
}
function placeLabels(view, frame) {
  const labels = labelsFor(view, frame), inside = placeInside(labels.filter((label) => label.air).reverse(), view, frame);
  return [...inside, ...placeOutside(labels.filter((label) => !inside.includes(label)), frame)];
}

// ---- the drawing ---------------------------------------------------------------------------------------

const trace = (points, closed) => "M" + points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L") + (closed ? "Z" : "");

function waterAndScales(frame, view) {
  const { surface, bed, width, scale } = frame, depth = view.berth.depth_m, group = draw("g");
  const ink = { stroke: "var(--ws-ink)", fill: "none", "stroke-width": 1 };
  group.append(draw("rect", { x: 0, y: surface, width, height: bed - surface, fill: "var(--ws-water)" }));
  group.append(draw("rect", { x: 0, y: bed, width, height: 16, fill: "var(--ws-bed)" }));
  group.append(draw("path", { d: `M0 ${bed}H${width}`, ...ink, "stroke-width": 1.6 }));
  let marks = "";
  for (let x = 6; x < width; x += 26) marks += `M${x} ${bed + 4}l7 8M${x + 11} ${bed + 6}l4 4`;
  group.append(draw("path", { d: marks, ...ink }));
  group.append(draw("path", { d: `M0 ${surface}H${width}`, ...ink, "stroke-width": 1.2 }));
  group.append(draw("path", { d: `M${frame.west + 2} ${surface + 5}h26m-21 5h16m-11 5h6`, ...ink }));
  const rule = width - SCALE_ROOM + 10;
  let ticks = `M${rule} ${surface}V${bed}`;
  for (let d = 0; d <= depth + 1e-9; d += 0.5) {
    ticks += `M${rule} ${surface + d * scale}h${d % 1 ? 6 : 12}`;
    if (d % 1 === 0) group.append(draw("text", { x: rule + 16, y: surface + d * scale + (d === 0 ? 14 : 5) }, `${d} m`));
  }
  group.append(draw("path", { d: ticks, ...ink, "stroke-width": 1.2 }));
  const base = bed + 22, step = scale > 46 ? 1 : 2;
  let along = `M${frame.at(0, 0, 0)[0]} ${base}H${frame.at(view.boat.length_m, 0, 0)[0]}`;
  for (let x = 0; x <= view.boat.length_m; x += step) {
    const [px] = frame.at(x, 0, 0);
    along += `M${px} ${base}v7`;
    group.append(draw("text", { x: px, y: base + 23, "text-anchor": "middle" }, String(x)));
  }
  group.append(draw("text", { x: rule + 50, y: base + 23, "text-anchor": "end" }, "m from transom"));
  group.append(draw("path", { d: along, ...ink, "stroke-width": 1.2 }));
  return group;
}
function hullAndHouse(frame, view, uid) {
  const ring = (points) => points.map(([x, h]) => frame.at(x, 0, h));
  const hull = trace(ring(view.boat.profile), true), house = trace(ring(view.boat.deckhouse), false);
  const [, sole] = frame.at(0, 0, view.boat.cabin_sole_height_m);
  const line = { fill: "none", "stroke-linejoin": "round" };
  return draw("g", {},
    draw("path", { d: house, ...line, fill: "var(--ws-hull)", stroke: "var(--ws-ink)", "stroke-width": 1.3 }),
    draw("clipPath", { id: `${uid}-hull` }, draw("path", { d: hull })),
    // two strokes leave a double line: the shell, cut through
    draw("path", { d: hull, ...line, fill: "var(--ws-hull)", stroke: "var(--ws-ink)", "stroke-width": 7 }),
    draw("path", { d: hull, ...line, stroke: "var(--ws-hull)", "stroke-width": 4 }),
    draw("path", { d: `M0 ${sole}H${frame.width}`, ...line, stroke: "var(--ws-line)", "stroke-width": 1.2, "stroke-dasharray": "12 4 2 4", "clip-path": `url(#${uid}-hull)` }),
    draw("path", { d: `M${frame.at(0, 0, 0)[0]} ${frame.surface}H${frame.at(view.boat.length_m, 0, 0)[0]}`, ...line, stroke: "var(--ws-line)", "stroke-width": 0.9, "clip-path": `url(#${uid}-hull)` }));
}
function wiring(frame, view) {
  const group = draw("g", { fill: "none", stroke: "var(--ws-ink)", "stroke-linejoin": "round" });
  for (const path of wirePaths(view, frame)) {
    const line = trace(path, false);
    group.append(draw("path", { d: line, stroke: "var(--ws-hull)", "stroke-width": 4.5 }), draw("path", { d: line, "stroke-width": 2 }));
  }
  for (const part of view.parts.filter((p) => p.shape === "hanging_anode")) {
    const [x, y] = middle(part, frame), rail = gunwale(view.boat, part.x_m), [rx, ry] = frame.at(rail.x, part.y_m, rail.height);
    const tied = view.conductors.some((wire) => wire.to === part.id || wire.from === part.id);
    if (!tied || isLifted(part)) group.append(draw("path", { d: `M${rx} ${ry}Q${x} ${ry} ${x} ${y - part.length_m * frame.scale / 2}`, "stroke-width": 1.4 }));
  }
  return group;
}
function linksAndPoints(frame, view) {
  const group = draw("g", { stroke: "var(--ws-ink)", fill: "var(--ws-hull)", "stroke-width": 1.6 });
  for (const link of view.links) {
    const [x, y] = onWire(link, view, frame);
    group.append(draw("rect", { x: x - 13, y: y - 5, width: 26, height: 10, stroke: "none" }),
      draw("path", { d: link.open ? `M${x - 12} ${y}L${x + 7} ${y - 15}` : `M${x - 12} ${y}H${x + 12}`, "stroke-width": 2.6 }),
      draw("circle", { cx: x - 12, cy: y, r: 4 }), draw("circle", { cx: x + 12, cy: y, r: 4 }));
  }
  for (const point of view.points) {
    const [x, y] = frame.at(point.x_m, point.y_m, point.height_m);
    group.append(draw("rect", { x: x - 5, y: y - 5, width: 10, height: 10, "data-point": point.id }), draw("path", { d: `M${x - 2} ${y}h4m-2 -2v4`, "stroke-width": 1.2 }));
  }
  return group;
}
function lettering(labels, frame) {
  const leaders = draw("g", { stroke: "var(--ws-quiet)", "stroke-width": 1, fill: "var(--ws-quiet)" }), words = draw("g");
  for (const label of labels) {
    const [x, y] = label.end, toLeft = label.air && x > label.spot.x + label.w / 2;
    leaders.append(draw("path", { d: trace(label.path, false), fill: "none" }), draw("circle", { cx: x, cy: y, r: 2.4, stroke: "none" }));
    const block = draw("g", { class: !label.air && label.spot.y < frame.bed ? "ws-wet" : "" });
    label.lines.forEach((text, i) => block.append(draw("text", {
      x: toLeft ? label.spot.x + label.w - 4 : label.spot.x + 4, y: label.spot.y + 15 + i * LINE,
      "text-anchor": toLeft ? "end" : "start", class: `ws-halo ${text[0] === "~" ? "ws-metal" : ""}` }, text.replace("~", ""))));
    words.append(block);
  }
  return draw("g", {}, leaders, words);
}
function paint(art, view, frame, labels, uid) {
  const depthOrder = [...view.parts].sort((a, b) => (a.y_m ?? 0) - (b.y_m ?? 0));
  const order = ["shaft", "engine", "strut", "through_hull"];  // what the others stand upon comes first
  depthOrder.sort((a, b) => (a.y_m < -0.05) === (b.y_m < -0.05) ? (order.includes(b.shape) - order.includes(a.shape)) : a.y_m - b.y_m);
  art.setAttribute("height", frame.height);
  art.setAttribute("viewBox", `0 0 ${frame.width} ${frame.height}`);
  art.replaceChildren(hatches(uid), waterAndScales(frame, view), hullAndHouse(frame, view, uid),
    draw("g", { opacity: 0.62 }, ...depthOrder.filter((p) => p.y_m < -0.05).map((p) => metal(p, view, frame, uid))),
    wiring(frame, view),
    draw("g", {}, ...depthOrder.filter((p) => !(p.y_m < -0.05)).map((p) => metal(p, view, frame, uid))),
    linksAndPoints(frame, view), lettering(labels, frame));
}

// ---- the bench: real HTML controls, every one of them reachable by keyboard ------------------------------

const DIAL_ANGLES = (count) => Array.from({ length: count }, (_, i) => (count < 2 ? -90 : -198 + (216 * i) / (count - 1)));
const JACK_WORDS = { COM: "common", V: "volts", A: "current" };
const WAITS = [1, 10, 30, 60];

function dialOf(view, uid, send) {
  const radius = 89, angles = DIAL_ANGLES(view.meter.dials.length);
  const needle = draw("path", { d: "M0 -6L44 0L0 6Z", fill: "var(--ws-ink)", class: "ws-needle" });
  const knob = draw("svg", { viewBox: "-55 -55 110 110", "aria-hidden": "true" },
    draw("circle", { r: 50, fill: "var(--ws-paper)", stroke: "var(--ws-ink)", "stroke-width": 1.5 }),
    draw("circle", { r: 34, fill: "none", stroke: "var(--ws-line)", "stroke-width": 1 }), needle);
  let settle = 0;
  const turn = (event) => {  // arrow keys pass over positions: only the one come to rest on is sent
    const position = event.target.value;
    clearTimeout(settle);
    settle = setTimeout(() => send("turn_dial", { position }), 200);
  };
  const labels = view.meter.dials.map((name, i) => {
    const a = (angles[i] * Math.PI) / 180;
    return make("label", { style: `left:${118 + radius * Math.cos(a)}px;top:${128 + radius * Math.sin(a)}px` }, make("input", { type: "radio", class: "ws-unseen", name: `${uid}-dial`, value: name, onchange: turn }), make("span", {}, name));
  });
  const node = make("fieldset", { class: "ws-dial" }, make("legend", {}, "dial"), knob, ...labels);
  return { node, update(now) {
    const at = now.meter.dials.indexOf(now.meter.dial);
    needle.style.transform = `rotate(${angles[at] ?? 90}deg)`;
    for (const input of node.querySelectorAll("input")) input.checked = input.value === now.meter.dial;
  } };
}
function meterOf(view, uid, send) {
  const number = make("span", { class: "ws-number" }), unit = make("small"), state = make("div", { class: "ws-state" });
  const jacks = make("ul", { class: "ws-jacks", "aria-label": "jacks" }, ...view.meter.jacks.map((jack) =>
    make("li", {}, make("b", {}, jack), JACK_WORDS[jack] ?? "", make("span", { class: "ws-hole", style: "display:block", "data-jack": jack }))));
  const dial = dialOf(view, uid, send);
  const node = make("section", { class: "ws-meter", "aria-label": "meter" },
    make("div", { class: "ws-face" }, make("div", { class: "ws-screen" }, make("div", { class: "ws-digits" }, number, unit), state), jacks), dial.node);
  const show = (text, itsUnit, words) => { number.textContent = text || "\u00a0"; unit.textContent = itsUnit; state.textContent = words; };
  return { node, show, update(now) { dial.update(now); } };
}
function chooser(label, uid, options, onchoose) {
  const select = make("select", { id: uid, onchange: () => onchoose(select.value || null) },
    ...options.map(([value, text]) => make("option", { value: value ?? "" }, text)));
  return { node: make("div", { class: "ws-row" }, make("label", { for: uid }, label), select), set: (value) => { select.value = value ?? ""; } };
}
function inHand(view, uid, send) {
  const jacks = [[null, "out"], ...view.meter.jacks.map((jack) => [jack, jack])];
  const cell = chooser("Cell lead in", `${uid}-cell`, jacks, (jack) => send("plug", { lead: "cell lead", jack }));
  const test = chooser("Test lead in", `${uid}-test`, jacks, (jack) => send("plug", { lead: "test lead", jack }));
  const clip = chooser("Test clip on", `${uid}-clip`, [[null, "nothing"], ...view.points.map((p) => [p.id, p.label])], (point) => send("clip", { point }));
  const clock = make("span", { class: "ws-clock" }), said = make("p", { class: "ws-said" });
  const waits = WAITS.map((minutes) => make("button", { type: "button", "aria-label": `wait ${minutes} ${minutes === 1 ? "minute" : "minutes"}`, onclick: () => send("wait", { minutes }) }, String(minutes)));
  const node = make("section", { class: "ws-hand", "aria-label": "in hand" },
    make("div", { class: "ws-row ws-leads" }, cell.node, test.node), clip.node,
    make("div", { class: "ws-row ws-wait", role: "group", "aria-label": "wait, minutes" }, make("span", {}, "Wait"), ...waits, make("span", {}, "min")),
    make("div", { class: "ws-row" }, make("button", { type: "button", class: "ws-main", onclick: () => send("record", {}) }, "Record reading"), clock), said);
  return { node, say: (sentence) => { said.textContent = sentence; }, update(now) {
    cell.set(now.leads["cell lead"].jack); test.set(now.leads["test lead"].jack); clip.set(now.leads["test lead"].point);
    clock.textContent = now.clock.text;
  } };
}
function cellControls(view, uid, send, complain) {
  const { x_m, depth_m } = view.cell.limits;
  const box = (name, label) => {
    const input = make("input", { type: "text", inputmode: "decimal", id: `${uid}-${name}`, autocomplete: "off" });
    return { input, label: make("label", { for: `${uid}-${name}` }, label) };
  };
  const along = box("x", "m forward of the transom"), deep = box("depth", "m deep");
  const read = ({ input }, what, [low, high]) => {
    const value = Number(input.value.trim().replace(",", "."));
    if (input.value.trim() !== "" && value >= low && value <= high) return snap(value);
    complain(`${what} "${input.value}" is not a number from ${metres(low)} to ${metres(high)} m.`);
    return null;
  };
  const hang = () => {
    const x = read(along, "Place of the cell", x_m), depth = x === null ? null : read(deep, "Depth of the cell", depth_m);
    if (depth !== null) send("hang_cell", { x_m: x, depth_m: depth });
  };
  const node = make("fieldset", { class: "ws-set" }, make("legend", {}, "Reference cell"), along.input, along.label, deep.input, deep.label,
    make("button", { type: "button", onclick: hang }, "Hang it there"),
    make("button", { type: "button", onclick: () => send("lift_cell", {}) }, "Lift it out"),
    make("span", { class: "ws-quiet" }, "Or drag it in the drawing; arrow keys move it 0.10 m, with Shift 0.01 m."));
  return { node, update(now) {
    if (!now.cell.in_water) return;  // what was typed stays; where to hang it is for the learner to say
    if (document.activeElement !== along.input) along.input.value = metres(now.cell.x_m);
    if (document.activeElement !== deep.input) deep.input.value = metres(now.cell.depth_m);
  } };
}
// Links, hoists and breakers: one button each, saying its state in words.
function switchesOf(title, items, words, onpress) {
  if (!items.length) return { node: make("span"), update() {} };
  const rows = items.map((item) => {
    const state = make("b"), button = make("button", { type: "button", class: "ws-switch" }, `${capital(item.label)}:`, state);
    return { id: item.id, state, button };
  });
  const notes = items.filter((item) => item.note).map((item) => make("span", { class: "ws-quiet" }, `${capital(item.label)}: ${item.note}.`));
  const node = make("fieldset", { class: "ws-set" }, make("legend", {}, title), ...rows.map((row) => row.button), ...notes);
  return { node, update(now) {
    for (const row of rows) {
      const item = now.find((candidate) => candidate.id === row.id);
      row.state.textContent = words(item);
      row.button.onclick = () => onpress(item);
    }
  } };
}
function keyOf(view, uid) {
  const families = [...new Set(view.parts.map((part) => part.family))];
  const swatch = (family) => draw("svg", { "aria-hidden": "true", viewBox: "0 0 34 20" },
    draw("rect", { x: 1, y: 1, width: 32, height: 18, fill: "var(--ws-hull)" }),
    draw("rect", { x: 1, y: 1, width: 32, height: 18, fill: `url(#${uid}-${family in HATCH ? family : "steel"})`, stroke: "var(--ws-ink)", "stroke-width": 1.2 }));
  const line = (path, extra) => draw("svg", { "aria-hidden": "true", viewBox: "0 0 34 20" }, draw("path", { d: path, fill: "none", stroke: "var(--ws-ink)", "stroke-width": 2, ...extra }));
  const gauges = [...new Set(view.conductors.filter((wire) => !wire.contact).map((wire) => wire.label))].join(", ");
  return make("ul", { class: "ws-key", "aria-label": "key to the drawing" }, ...families.map((family) => make("li", {}, swatch(family), familyName(family))),
    ...(gauges ? [make("li", {}, line("M1 10H33"), `conductor, ${gauges}`)] : []),
    ...(view.parts.some((part) => part.anode) ? [make("li", {}, line("M5 3H29V17H5Z", { "stroke-width": 1, "stroke-dasharray": "3 2.5" }), "anode when new")] : []),
    ...(view.points.length ? [make("li", {}, line("M12 5H22V15H12ZM15 10h4m-2 -2v4", { "stroke-width": 1.4 }), "bare metal for the clip")] : []));
}

// ---- the hands: cell, clip and plugs over bench and boat -------------------------------------------------

function handsOf(uid) {
  const line = () => [draw("path", { class: "ws-under" }), draw("path", { class: "ws-lead" })];
  const grip = (radius) => draw("circle", { r: radius, fill: "transparent", class: "ws-grip" });
  const plug = () => draw("g", {}, draw("circle", { r: 9, fill: "var(--ws-accent)", stroke: "var(--ws-paper)", "stroke-width": 2 }),
    draw("text", { x: 0, y: 32, "text-anchor": "middle", class: "ws-halo" }), grip(22));
  const cable = line(), wire = line(), place = draw("text", { y: 6 });
  const marks = draw("path", { class: "ws-lead" }), chip = draw("rect", { y: -13, height: 26, rx: 3, fill: "var(--ws-paper)", stroke: "var(--ws-accent)" });
  const cell = draw("g", { class: "ws-cell", tabindex: 0, role: "application", "aria-roledescription": "movable cell", "aria-describedby": `${uid}-cellhelp` },
    draw("circle", { class: "ws-ring", r: 32 }),
    draw("path", { d: "M-5 -22H5V-15H8V12Q8 22 0 22Q-8 22 -8 12V-15H-5Z", fill: "var(--ws-hull)", stroke: "var(--ws-accent)", "stroke-width": 2.6 }),
    draw("path", { d: "M-8 4H8V12Q8 22 0 22Q-8 22 -8 12Z", fill: "var(--ws-accent)" }),
    draw("path", { d: "M-4 9h8M-4 14h8", stroke: "var(--ws-hull)", "stroke-width": 1.6 }), draw("g", { class: "ws-place" }, chip, place), grip(28));
  const clip = draw("g", {}, draw("path", { d: "M0 1L-9 -20Q-8 -27 -3 -26L0 -14L3 -26Q8 -27 9 -20Z", fill: "var(--ws-accent)", stroke: "var(--ws-paper)", "stroke-width": 1.5 }),
    draw("circle", { cy: -8, r: 24, fill: "transparent", class: "ws-grip" }));
  const plugs = { "cell lead": plug(), "test lead": plug() };
  const hint = draw("text", { class: "ws-halo", "text-anchor": "middle" });
  const still = draw("g", { "aria-hidden": "true" }, ...cable, ...wire, marks, plugs["cell lead"], plugs["test lead"], clip, hint);
  const node = draw("svg", { class: "ws-hands", role: "group", "aria-label": "leads and cell" }, still, cell);
  const along = (pair, path) => pair.forEach((piece) => piece.setAttribute("d", path));
  const move = (piece, [x, y]) => piece.setAttribute("transform", `translate(${x} ${y})`);
  return { node, cell, clip, plugs, chip, place, marks, hint, move, cable: (path) => along(cable, path), wire: (path) => along(wire, path) };
}
const hangs = ([x1, y1], [x2, y2]) => {
  const sag = Math.max(46, Math.abs(y2 - y1) * 0.45);
  return `M${x1} ${y1}C${x1} ${y1 + sag} ${x2} ${y2 - sag} ${x2} ${y2}`;
};
// Follows one pointer from press to release; works alike for mouse, pen and finger.
function draggable(grip, { begin, move, end }) {
  grip.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });  // no scrolling from here
  grip.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    grip.setPointerCapture(event.pointerId);
    begin?.(event);
    const finish = (last) => {
      grip.removeEventListener("pointermove", move);
      for (const kind of ["pointerup", "pointercancel"]) grip.removeEventListener(kind, finish);
      end(last, last.type === "pointercancel");
    };
    grip.addEventListener("pointermove", move);
    for (const kind of ["pointerup", "pointercancel"]) grip.addEventListener(kind, finish);
  });
}

// ---- one view of the widget ------------------------------------------------------------------------------

const REST_MS = 300, ANSWER_MS = 8000;

function render({ model, el }) {
  const uid = `ws${freshId().slice(0, 8)}`, waiting = new Map();
  let view = model.get("view"), frame = null, labels = null, bench = null, shape = "", layout = "";
  let held = null, loose = {}, rest = 0, dragging = false, announced = "";

  const heading = make("h2"), berth = make("p", { class: "ws-quiet" }), benchBand = make("div", { class: "ws-bench" });
  const live = make("div", { class: "ws-unseen", "aria-live": "polite" });
  const art = draw("svg", { class: "ws-art", role: "img", "aria-labelledby": `${uid}-name`, "aria-describedby": `${uid}-words` });
  const hands = handsOf(uid), boat = make("div", { class: "ws-boat" }, art), below = make("div");
  const stage = make("div", { class: "ws-stage" }, benchBand, boat, hands.node);
  const words = make("ul", { id: `${uid}-words` });
  const root = make("div", { class: "wetslip", role: "region", "aria-label": "boat and bench", "data-lm-suppress-shortcuts": "true" },
    make("header", {}, heading, berth), stage, below, live,
    make("span", { class: "ws-unseen", id: `${uid}-name` }, "the boat cut open along its length, afloat"),
    make("span", { class: "ws-unseen", id: `${uid}-cellhelp` }, "Arrow keys move the cell 0.10 metres, with Shift 0.01 metres."),
    make("details", {}, make("summary", {}, "The drawing in words"), words));

  const complain = (sentence) => { bench.say(sentence); live.textContent = announced = sentence; };
  function send(action, args) {
    const id = freshId();
    try {
      model.send({ action, args, id });
    } catch {
      return silence();
    }
    waiting.set(id, setTimeout(silence, ANSWER_MS));
    root.setAttribute("aria-busy", "true");
  }
  function silence() {
    quiet();
    held = null; loose = {};
    update();
    complain("The kernel does not answer. The drawing shows the last state it sent; run the page's cells again to go on.");
  }
  function quiet() {
    waiting.forEach(clearTimeout);
    waiting.clear();
    root.removeAttribute("aria-busy");
  }

  function buildBench() {
    const meter = meterOf(view, uid, send), hand = inHand(view, uid, send), cell = cellControls(view, uid, send, complain);
    const links = switchesOf("Links in the wiring", view.links, (i) => (i.open ? "open" : "closed"), (i) => send(i.open ? "close_link" : "open_link", { link: i.id }));
    const hoists = switchesOf("On a line", view.hoists, (i) => (i.lowered ? "in the water" : "lifted out"), (i) => send(i.lowered ? "lift_anode" : "lower_anode", { anode: i.id }));
    const breakers = switchesOf("Breakers and switches", view.breakers, (i) => (i.closed ? "on" : "off"), (i) => send("breaker", { circuit: i.id, closed: !i.closed }));
    benchBand.replaceChildren(meter.node, hand.node);
    below.replaceChildren(keyOf(view, uid), make("div", { class: "ws-switches" }, cell.node, links.node, hoists.node, breakers.node));
    bench = { meter, say: hand.say, all: [meter, hand, cell], links, hoists, breakers };
  }
  function update() {
    const identity = (list) => list.map((item) => [item.id, item.label, item.note, item.family]);
    const now = JSON.stringify([view.slip, view.meter.dials, view.meter.jacks, ...[view.links, view.hoists, view.breakers, view.points, view.parts].map(identity)]);
    if (now !== shape) { shape = now; buildBench(); }
    heading.textContent = `${view.boat.name}, ${view.boat.kind}, ${view.boat.length_m} m`;
    berth.textContent = `${view.berth.marina}, berth ${view.berth.name}. ${capital(view.berth.water)}, ${view.berth.water_temperature_degC} °C, salinity ${view.berth.salinity}. ${view.boat.history ?? ""}`;
    bench.all.forEach((piece) => piece.update(view));
    bench.links.update(view.links); bench.hoists.update(view.hoists); bench.breakers.update(view.breakers);
    words.replaceChildren(...(model.get("words") ?? []).map((line) => make("li", {}, line)));
    redraw();
  }
  function redraw() {
    const width = Math.round(stage.clientWidth);
    if (width < 60) return;  // not on the page yet; the observer calls again
    frame = frameFor(view, width);
    const fresh = JSON.stringify([width, view.boat.profile, view.conductors, view.points, view.links, view.parts]);
    if (fresh !== layout) {
      layout = fresh;
      labels = placeLabels(view, frame);
      paint(art, view, frame, labels, uid);
    }
    layHands();
    showDisplay();
  }

  // places on the stage [px]
  function onStage(node, up = 0.5) {
    const a = stage.getBoundingClientRect(), b = node.getBoundingClientRect();
    return [b.left - a.left + b.width / 2, b.top - a.top + b.height * up];
  }
  const boatTop = () => art.getBoundingClientRect().top - stage.getBoundingClientRect().top;
  const onBoat = (x, y, height) => { const [px, py] = frame.at(x, y, height); return [px, py + boatTop()]; };
  const cellNow = () => held ?? { x_m: view.cell.x_m ?? view.boat.length_m / 2, depth_m: view.cell.depth_m || 0.1, in_water: view.cell.in_water };
  const jackNode = (jack) => [...benchBand.querySelectorAll("[data-jack]")].find((node) => node.dataset.jack === jack);
  function plugPlace(lead) {
    if (loose[lead]) return loose[lead];
    const jack = view.leads[lead].jack, node = jack && jackNode(jack);
    if (node) return onStage(node);
    return [lead === "cell lead" ? 330 : 440, boatTop() + 2];  // lying under the meter's foot
  }
  function clipPlace() {
    if (loose.clip) return loose.clip;
    const point = view.points.find((p) => p.id === view.leads["test lead"].point);
    return point ? onBoat(point.x_m, point.y_m, point.height_m) : [plugPlace("test lead")[0] + 80, boatTop() + 62];
  }
  function layHands() {
    const cell = cellNow(), top = boatTop(), rail = gunwale(view.boat, cell.x_m);
    const [gx, gy] = [frame.left + rail.x * frame.scale, top + frame.surface - rail.height * frame.scale];
    const cx = frame.left + cell.x_m * frame.scale, cy = cell.in_water ? top + frame.surface + cell.depth_m * frame.scale : gy - 30;
    hands.move(hands.cell, [cell.in_water ? cx : gx, cy]);
    for (const lead of Object.keys(hands.plugs)) {
      hands.move(hands.plugs[lead], plugPlace(lead));
      hands.plugs[lead].querySelector("text").textContent = lead;
    }
    const from = plugPlace("cell lead"), reach = cx === gx ? "" : `Q${cx} ${gy - 6} ${cx} ${Math.min(gy + 46, cy - 22)}`;
    hands.cable(cell.in_water ? `${hangs(from, [gx, gy - 2])}${reach}V${cy - 22}` : hangs(from, [gx, cy - 22]));
    const at = clipPlace();
    hands.move(hands.clip, at);
    hands.wire(hangs(plugPlace("test lead"), [at[0], at[1] - 25]));
    hands.place.textContent = cell.in_water ? `${metres(cell.x_m)} m, ${metres(cell.depth_m)} m deep` : "cell out of the water";
    const right = cx > frame.width - 240;
    const long = textWidth(hands.place.textContent, false) * 1.06 + 14;
    hands.place.setAttribute("x", right ? -24 - long : 31);
    hands.chip.setAttribute("x", right ? -31 - long : 24);
    hands.chip.setAttribute("width", long);
    const deep = top + frame.surface + cell.depth_m * frame.scale;
    hands.marks.setAttribute("d", cell.in_water ? `M${frame.width - SCALE_ROOM + 2} ${deep}h14M${cx} ${top + frame.bed + 14}v14` : "");
    hands.cell.classList.toggle("ws-moving", held !== null);
    hands.cell.setAttribute("aria-label", cellWords(cell));
  }
  function showDisplay() {
    const { meter, drag } = view;
    if (!held) {
      bench.meter.show(meter.display, meter.unit, view.cell.in_water ? "cell at rest" : "cell out of the water");
      const sentence = `${view.said ? view.said + " " : ""}Meter: ${meter.display || "blank"} ${meter.unit}. ${view.logbook.length} rows in the logbook.`;
      bench.say(view.said);
      if (sentence !== announced) live.textContent = announced = sentence;
      return;
    }
    if (!held.in_water) return bench.meter.show("---", meter.unit, "cell moving, out of the water");
    const millivolts = drag?.live ? drag.sign * (drag.base_mV - waterAt(drag, held.x_m, held.depth_m)) : null;
    const shown = millivolts === null ? null : digits(millivolts, meter.dial);
    bench.meter.show(...(shown ?? [meter.display, meter.unit]), "cell moving");
  }

  // the cell
  function moveCell(x, depth, inWater) {
    const { x_m, depth_m } = view.cell.limits;
    held = { x_m: snap(clamp(x, ...x_m)), depth_m: snap(clamp(depth, ...depth_m)), in_water: inWater };
    layHands();
    showDisplay();
    clearTimeout(rest);
    rest = setTimeout(settleCell, REST_MS);
  }
  function settleCell() {
    rest = 0;
    if (!held) return;
    const { x_m, depth_m, in_water } = held, was = view.cell;
    const still = in_water === was.in_water && (!in_water || (x_m === snap(was.x_m) && depth_m === snap(was.depth_m)));
    if (still) { if (!dragging) { held = null; redraw(); } return; }
    if (in_water) send("hang_cell", { x_m, depth_m });
    else if (!dragging) send("lift_cell", {});
  }
  let grab = [0, 0];
  draggable(hands.cell.querySelector(".ws-grip"), {
    begin(event) {
      dragging = true;
      hands.cell.focus({ preventScroll: true });
      const box = hands.cell.querySelector(".ws-grip").getBoundingClientRect();
      grab = [event.clientX - box.left - box.width / 2, event.clientY - box.top - box.height / 2];
    },
    move(event) {
      const box = art.getBoundingClientRect();
      const x = (event.clientX - grab[0] - box.left - frame.left) / frame.scale;
      const depth = (event.clientY - grab[1] - box.top - frame.surface) / frame.scale;
      moveCell(x, depth, depth > -0.15);
    },
    end(_event, broken) {
      dragging = false;
      clearTimeout(rest);
      rest = 0;
      if (broken) { held = null; redraw(); }
      else if (held) rest = setTimeout(settleCell, REST_MS);
    },
  });
  hands.cell.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    event.stopPropagation();
    const cell = cellNow(), step = event.shiftKey || event.altKey ? 0.01 : 0.1, top = view.cell.limits.depth_m[0];
    if (!cell.in_water) {
      if (way[1] === 1) moveCell(cell.x_m, top, true);
      return;
    }
    const depth = cell.depth_m + way[1] * step;
    moveCell(cell.x_m + way[0] * step, depth, !(way[1] === -1 && cell.depth_m <= top + 1e-6));
  });

  // plugs and clip: carried to the nearest jack or bare metal, or let go
  const pointer = (event) => { const a = stage.getBoundingClientRect(); return [event.clientX - a.left, event.clientY - a.top]; };
  const nearest = (spots, [x, y], reach) => spots.map(([id, [sx, sy]]) => [id, Math.hypot(sx - x, sy - y)])
    .filter(([, far]) => far < reach).sort((a, b) => a[1] - b[1])[0]?.[0] ?? null;
  const jackSpots = () => view.meter.jacks.map((jack) => [jack, onStage(jackNode(jack))]);
  const pointSpots = () => view.points.map((p) => [p.id, onBoat(p.x_m, p.y_m, p.height_m)]);
  function carry(grip, key, spots, reach, tell, drop) {
    const show = (at, text) => { hands.hint.textContent = text; hands.move(hands.hint, [clamp(at[0], 90, frame.width - 90), at[1] - 38]); };
    draggable(grip, {
      move(event) {
        const at = pointer(event), target = nearest(spots(), at, reach);
        loose[key] = at;
        layHands();
        show(at, target === null ? "" : tell(target));
      },
      end(event, broken) {
        hands.hint.textContent = "";
        if (!loose[key]) return;
        const target = nearest(spots(), loose[key], reach);
        if (broken) delete loose[key];
        else drop(target);
        if (!waiting.size) delete loose[key];
        layHands();
      },
    });
  }
  for (const lead of Object.keys(hands.plugs))
    carry(hands.plugs[lead].querySelector(".ws-grip"), lead, jackSpots, 34, (jack) => `jack ${jack}`, (jack) => send("plug", { lead, jack }));
  carry(hands.clip.querySelector(".ws-grip"), "clip", pointSpots, 30, (id) => view.points.find((p) => p.id === id).label, (point) => send("clip", { point }));

  // the kernel's word
  function onView() {
    view = model.get("view");
    if (!dragging && !rest) held = null;  // a cell on the move is not called back by an earlier answer
    loose = {};
    update();
  }
  function onAnswer() {
    const timer = waiting.get(model.get("answered"));
    clearTimeout(timer);
    waiting.delete(model.get("answered"));
    if (!waiting.size) {
      quiet();
      if (!dragging && !rest) held = null;
      loose = {};
      update();  // also when nothing changed: a refused move goes back to where it was
    }
  }
  model.on("change:view", onView);
  model.on("change:answered", onAnswer);
  el.append(root);
  update();
  const observer = new ResizeObserver(() => { if (frame === null || Math.round(stage.clientWidth) !== frame.width) redraw(); else layHands(); });
  observer.observe(stage);
  return () => {
    observer.disconnect();
    clearTimeout(rest);
    quiet();
    model.off("change:view", onView);
    model.off("change:answered", onAnswer);
    root.remove();
  };
}

export default { render };
