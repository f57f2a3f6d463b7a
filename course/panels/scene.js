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

const put = (node, text) => { if (node.textContent !== text) node.textContent = text; };  // what is as it was is not laid out anew

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
const DIAL_WORDS = { "200 ohm": "200 Ω", "20 kohm": "20 kΩ" };
const UNIT_WORDS = { ohm: "Ω", kohm: "kΩ" };
const unitWords = (unit) => UNIT_WORDS[unit] ?? unit ?? "";
const ampere = (value) => `${Number(value)} A`;
const feedsBattery = (breaker) => breaker.feed === "battery";
const breakerState = (breaker) => (breaker.tripped ? "tripped" : breaker.closed ? "on" : "off");

// ---- where things are on the page ----------------------------------------------------------------------

const EDGE = 6, SCALE_ROOM = 62;  // px kept free at the left, and at the right for the depth scale
const OBLIQUE = { x: 0.25, up: -0.14 };  // metres on the page for each metre to port

function frameFor(view, width) {
  const { boat, berth, cell, parts } = view;
  const west = Math.min(cell.limits.x_m[0], ...parts.map((p) => p.x_m - p.length_m / 2)) - 0.1;
  const east = Math.max(cell.limits.x_m[1], boat.length_m);
  const tall = Math.max(...boat.profile.concat(boat.deckhouse).map(([, h]) => h), ...parts.map((p) => (p.inside ? p.height_m : 0)));
  const scale = Math.min((width - EDGE - SCALE_ROOM) / (east - west), 86);
  const left = EDGE + (width - EDGE - SCALE_ROOM - scale * (east - west)) / 2 - west * scale;
  const crowd = clamp((parts.filter((p) => p.inside).length + view.points.length / 4 - 5) * 14, 0, 120);  // sky for the names of what is inside
  const surface = clamp(tall * scale + 34 + crowd, view.leads["long lead"] ? 230 : 150, 330);  // a mast is cut off
  const bed = surface + berth.depth_m * scale;
  const lean = (y) => clamp(y ?? 0, -1.6, 1.6);
  const at = (x, y, height) =>
    [left + scale * (x + OBLIQUE.x * lean(y)), surface - scale * (height + OBLIQUE.up * lean(y))];
  return { width, height: bed + 62, scale, left, surface, bed, west: left + west * scale, east: left + east * scale, at };
}
// Heights [m] of the hull's upper and lower edges at x, and the x on the hull nearest to it.
function edgesAt(boat, x) {
  const xs = boat.profile.map(([px]) => px), near = clamp(x, Math.min(...xs), Math.max(...xs)), heights = [];
  boat.profile.forEach(([x1, h1], i) => {
    const [x2, h2] = boat.profile[(i + 1) % boat.profile.length];
    if (near < Math.min(x1, x2) || near > Math.max(x1, x2)) return;
    if (x1 === x2) heights.push(h1, h2);
    else heights.push(h1 + ((h2 - h1) * (near - x1)) / (x2 - x1));
  });
  return { x: near, height: Math.max(0, ...heights), bottom: Math.min(0, ...heights) };
}
const gunwale = edgesAt;

// ---- shapes of metal -----------------------------------------------------------------------------------

const HATCH = {
  anode: [6, "M0 0L6 6M6 0L0 6"], zinc: [7, "M0 0L7 7M7 0L0 7"], aluminium: [6, "M3 0V4"], magnesium: [5, "M1.5 2.5h2"],
  steel: [9, "M0 9L9 0M0 3L3 0M3 9L9 3"], iron: [10, "M0 0L10 10M7 0L10 3M0 3L7 10"], stainless: [4, "M0 2H4"], copper_alloy: [5, "M-1 1L1 -1M0 5L5 0M4 6L6 4"],
  nickel_alloy: [5, "M-1 4L1 6M0 0L5 5M4 -1L6 1"], titanium: [4, "M2 0V4"], carbon: [3, "M0 1.5H3M1.5 0V3"], lead_tin: [7, "M3.5 1V6M1 3.5H6"],
};
function hatches(uid) {
  return draw("defs", {}, ...Object.entries(HATCH).map(([family, [size, path]]) =>
    draw("pattern", { id: `${uid}-${family}`, width: size, height: size, patternUnits: "userSpaceOnUse" },
      draw("rect", { width: size, height: size, fill: "var(--ws-hull)" }),
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
  strainer: (length) => { const L = Math.max(length, 18); return `M${-0.32 * L} ${-0.36 * L}V${0.5 * L}H${0.32 * L}V${-0.36 * L}H${0.4 * L}V${-0.5 * L}H${-0.4 * L}V${-0.36 * L}Z`; },
  // a round housing with its two ports and the motor behind
  pump: (length) => {
    const r = 0.34 * Math.max(length, 20);
    return `M${-r} 0A${r} ${r} 0 1 1 ${r} 0A${r} ${r} 0 1 1 ${-r} 0ZM${-r * 0.3} ${-r * 0.95}V${-r * 1.45}H${r * 0.3}V${-r * 0.95}ZM${r * 0.95} ${-r * 0.45}H${r * 1.75}V${r * 0.45}H${r * 0.95}Z`;
  },
  // a cylinder lying between its two end caps
  heat_exchanger: (length) => {
    const L = Math.max(length, 30), h = Math.max(0.16 * L, 6);
    return `M${-0.4 * L} ${-h}H${0.4 * L}V${h}H${-0.4 * L}ZM${-0.4 * L} ${-h * 1.3}V${h * 1.3}Q${-0.5 * L} ${h} ${-0.5 * L} 0Q${-0.5 * L} ${-h} ${-0.4 * L} ${-h * 1.3}ZM${0.4 * L} ${-h * 1.3}V${h * 1.3}Q${0.5 * L} ${h} ${0.5 * L} 0Q${0.5 * L} ${-h} ${0.4 * L} ${-h * 1.3}Z`;
  },
  // a leg through the bottom, with the gear case at its foot
  saildrive: (length) => {
    const L = Math.max(length, 26), w = 0.17 * L;
    return `M${-w} ${-0.5 * L}H${w * 1.3}L${w} ${0.26 * L}H${-w * 0.9}ZM${-0.42 * L} ${0.36 * L}Q${-0.3 * L} ${0.22 * L} 0 ${0.22 * L}Q${0.34 * L} ${0.24 * L} ${0.4 * L} ${0.36 * L}Q${0.34 * L} ${0.48 * L} 0 ${0.5 * L}Q${-0.3 * L} ${0.5 * L} ${-0.42 * L} ${0.36 * L}Z`;
  },
  // hung on the transom: bracket, upper housing, plate above the wheel, gear case and skeg
  stern_drive: (length) => {
    const L = Math.max(length, 30);
    return `M${0.5 * L} ${-0.34 * L}V${0.04 * L}L${0.26 * L} ${0.1 * L}L${0.2 * L} ${-0.3 * L}ZM${-0.16 * L} ${-0.5 * L}H${0.14 * L}L${0.26 * L} ${-0.28 * L}V${0.02 * L}L${0.12 * L} ${0.1 * L}H${-0.5 * L}V${0.05 * L}L${-0.2 * L} ${0.02 * L}ZM${-0.12 * L} ${0.1 * L}H${0.12 * L}L${0.09 * L} ${0.22 * L}Q${0.24 * L} ${0.24 * L} ${0.26 * L} ${0.31 * L}Q${0.2 * L} ${0.39 * L} ${0.06 * L} ${0.39 * L}L${-0.02 * L} ${0.54 * L}H${-0.1 * L}V${0.39 * L}L${-0.3 * L} ${0.36 * L}V${0.26 * L}L${-0.12 * L} ${0.22 * L}Z`;
  },
  // cowl, clamp bracket, leg, gear case and skeg
  outboard: (length) => {
    const L = Math.max(length, 40);
    return `M${-0.2 * L} ${-0.5 * L}Q${0.02 * L} ${-0.56 * L} ${0.15 * L} ${-0.46 * L}L${0.17 * L} ${-0.24 * L}H${-0.22 * L}ZM${0.09 * L} ${-0.24 * L}H${0.2 * L}V${-0.02 * L}H${0.13 * L}V${-0.14 * L}H${0.08 * L}ZM${-0.11 * L} ${-0.24 * L}H${0.08 * L}L${0.05 * L} ${0.2 * L}H${-0.22 * L}V${0.17 * L}L${-0.08 * L} ${0.15 * L}ZM${-0.07 * L} ${0.2 * L}H${0.05 * L}V${0.28 * L}Q${0.16 * L} ${0.3 * L} ${0.18 * L} ${0.34 * L}Q${0.14 * L} ${0.4 * L} ${0.02 * L} ${0.4 * L}L${-0.03 * L} ${0.5 * L}H${-0.08 * L}V${0.4 * L}L${-0.18 * L} ${0.37 * L}V${0.31 * L}L${-0.07 * L} ${0.28 * L}Z`;
  },
  // a row of bolt heads
  fastening: (length) => {
    const L = Math.max(length, 24), r = Math.max(0.07 * L, 2.6);
    return [-0.45, -0.15, 0.15, 0.45].map((t) => `M${t * L - r} 0A${r} ${r} 0 1 1 ${t * L + r} 0A${r} ${r} 0 1 1 ${t * L - r} 0Z`).join("");
  },
  mast: (L) => `M-4 ${-L / 2}H4V${L / 2}H-4ZM-4 ${-0.28 * L}L${-0.14 * L} ${-0.25 * L}M4 ${-0.28 * L}L${0.14 * L} ${-0.25 * L}`,
  collar_anode: (L) => { const w = Math.max(L, 15) / 2; return `M${-w} -4Q${-w * 0.7} ${-w} 0 ${-w}Q${w * 0.7} ${-w} ${w} -4V4Q${w * 0.7} ${w} 0 ${w}Q${-w * 0.7} ${w} ${-w} 4Z`; },
  plate_anode: (length) => { const L = Math.max(length, 15); return `M${-L / 2} ${-0.16 * L}Q${-L / 2} ${-0.24 * L} ${-0.4 * L} ${-0.24 * L}H${0.4 * L}Q${L / 2} ${-0.24 * L} ${L / 2} ${-0.16 * L}V${0.16 * L}Q${L / 2} ${0.24 * L} ${0.4 * L} ${0.24 * L}H${-0.4 * L}Q${-L / 2} ${0.24 * L} ${-L / 2} ${0.16 * L}Z`; },
  hanging_anode: (L) => `M0 ${-L / 2}C${0.34 * L} ${-0.3 * L} ${0.3 * L} ${0.36 * L} 0 ${L / 2}C${-0.3 * L} ${0.36 * L} ${-0.34 * L} ${-0.3 * L} 0 ${-L / 2}Z`,
};
SHAPES.rig = SHAPES.mast;
// A keel reaches as far below its middle as the boat draws, and as far up as her bottom; ballast lies flat under it.
function keelOutline(part, view, frame) {
  const half = clamp((view.boat.draft_m ?? 1) + part.height_m, 0.12, 1.4), { bottom } = edgesAt(view.boat, part.x_m), L = part.length_m * frame.scale;
  const up = (bottom > part.height_m ? Math.min(bottom + 0.03 - part.height_m, 1.6) : half) * frame.scale, down = half * frame.scale;
  return up + down > 0.32 * L ? `M${-0.44 * L} ${-up}H${0.5 * L}L${0.3 * L} ${down * 0.9}Q${0.26 * L} ${down} ${0.2 * L} ${down}H${-0.32 * L}Q${-0.4 * L} ${down} ${-0.4 * L} ${down * 0.85}Z`
    : `M${-0.5 * L} ${-up}H${0.5 * L}L${0.44 * L} ${down * 0.5}Q${0.4 * L} ${down} ${0.3 * L} ${down}H${-0.44 * L}L${-0.5 * L} ${down * 0.7}Z`;
}
const bulbOutline = (L) => `M${-L / 2} 0Q${-0.2 * L} ${-0.1 * L} ${0.2 * L} ${-0.1 * L}Q${L / 2} ${-0.09 * L} ${L / 2} 0Q${L / 2} ${0.09 * L} ${0.2 * L} ${0.1 * L}Q${-0.2 * L} ${0.1 * L} ${-L / 2} 0Z`;

// A shaft points from its propeller through its own middle; without a propeller it slopes as most do.
function slope(part, parts) {
  const shaft = part.shape === "shaft" ? part
    : parts.find((p) => p.shape === "shaft" && Math.abs(p.y_m - part.y_m) < 0.3);
  const screw = shaft && parts.find((p) => p.shape === "propeller" && Math.abs(p.y_m - shaft.y_m) < 0.3);
  if (!screw || Math.abs(shaft.x_m - screw.x_m) < 0.1) return -8;
  return clamp(-Math.atan2(shaft.height_m - screw.height_m, shaft.x_m - screw.x_m) * 180 / Math.PI, -25, 25);
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
const INK = { stroke: "var(--ws-ink)", "stroke-width": 1.4, "stroke-linejoin": "round" };
// A metal hull: a hatched band along the inside of the wetted shell.
function metalHull(part, view, frame, uid) {
  const ring = trace(view.boat.profile.map(([x, h]) => frame.at(x, 0, h)), true);
  return draw("g", { "data-part": part.id },
    draw("clipPath", { id: `${uid}-wetted` }, draw("rect", { x: 0, y: frame.surface, width: frame.width, height: frame.bed })),
    draw("g", { "clip-path": `url(#${uid}-hull)` }, draw("path", { d: ring, fill: "none", stroke: `url(#${uid}-${part.family in HATCH ? part.family : "steel"})`, "stroke-width": 26, "clip-path": `url(#${uid}-wetted)` })),
    draw("path", { d: ring, fill: "none", ...INK, "stroke-width": 2.4, "clip-path": `url(#${uid}-wetted)` }));
}
function metal(part, view, frame, uid) {
  if (part.shape === "hull") return metalHull(part, view, frame, uid);
  const L = part.length_m * frame.scale, [x, y] = middle(part, frame);
  const outline = part.shape === "keel" ? () => keelOutline(part, view, frame) : part.shape === "plate" && part.family === "lead_tin" ? bulbOutline : SHAPES[part.shape] ?? SHAPES.plate;
  const atTransom = part.shape === "plate_anode" && part.x_m < 0.15;
  const turn = part.shape === "shaft" || part.shape === "collar_anode" ? slope(part, view.parts) : atTransom ? 90 : 0;
  const body = (size) => [draw("path", { d: outline(size), fill: `url(#${uid}-${part.family in HATCH ? part.family : "steel"})`, ...INK })];
  const group = draw("g", { transform: `translate(${x} ${y}) rotate(${turn})`, "data-part": part.id });
  if (part.anode) {  // the worn outline inside the new one: areas in the ratio of what is left
    const worn = Math.sqrt(clamp(part.remaining, 0.02, 1));
    group.append(draw("path", { d: outline(L), fill: "var(--ws-hull)", ...INK, "stroke-width": 1, "stroke-dasharray": "3 2.5" }));
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
const batteryPlace = (view) => view.points.find((p) => p.id === "battery_positive") ?? (view.battery?.x_m === undefined ? null : view.battery);
// Hoses of the raw water: from the seacock to each thing that hangs on it, nearest first.
function hosesOf(view) {
  const hoses = [];
  for (const cock of view.parts.filter((p) => p.shape === "through_hull")) {
    let last = cock;
    const along = view.parts.filter((p) => p.seacock === cock.id).sort((a, b) => (a.hose_length_m ?? 0) - (b.hose_length_m ?? 0));
    for (const part of along) { hoses.push([last, part]); last = part; }
  }
  return hoses;
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
const PARKED = 400;  // px at the right under the bench where leads lie that are in no jack
const LINE = 18;  // px from line to line of a label
const NUMBERS = ["", "", "two", "three", "four", "five", "six"];
// What a label points at, now: things move (a lifted anode), labels do not.
const aimOf = (label, view, frame) => {
  if (label.link) return onWire(view.links.find((link) => link.id === label.link), view, frame);
  if (label.part) {
    const part = view.parts.find((p) => p.id === label.part);
    return part.shape === "hull" ? frame.at(part.x_m, 0, edgesAt(view.boat, part.x_m).bottom + 0.03) : middle(part, frame);
  }
  return label.end;
};
function labelsFor(view, frame) {
  const groups = new Map();
  for (const part of view.parts) {
    const plain = part.label.replace(/\b(port|starboard)\s+/i, "").replace(/,\s*(port|starboard)\b/i, "");
    const key = [part.shape, part.metal, plain, part.inside].join("|");
    if (!groups.has(key)) groups.set(key, { plain, parts: [] });
    groups.get(key).parts.push(part);
  }
  const labels = [...groups.values()].map(({ plain, parts }) => {
    const many = parts.length > 1 ? `${NUMBERS[parts.length] ?? parts.length} ${plain.replace(/([^s])$/, "$1s")}` : parts[0].label;
    const near = parts.reduce((a, b) => (b.y_m > a.y_m ? b : a));  // one leader, to the nearest of them
    return { part: near.id, lines: [...wrap(capital(many), 24), ...(!parts[0].metal || plain.includes(parts[0].metal) ? [] : wrap(parts[0].metal, 30).map((t) => "~" + t))],
      foot: frame.at(near.x_m, near.y_m, near.height_m)[1], air: near.inside };
  });
  const single = view.points.filter((point) => point.id.startsWith("battery_") ? !view.battery : !view.parts.some((p) => p.shape !== "hull" && Math.hypot(p.x_m - point.x_m, p.height_m - point.height_m) < 0.45));
  const seen = new Set();
  for (const point of single) {
    const words = point.id.startsWith("isolator_") ? "Galvanic isolator" : capital(point.label);  // its two terminals share a name
    if (!seen.has(words)) labels.push({ lines: wrap(words, 18), end: frame.at(point.x_m, point.y_m, point.height_m), air: true });
    seen.add(words);
  }
  const post = view.battery && batteryPlace(view);
  if (post) labels.push({ lines: wrap(capital(view.battery.label ?? "battery"), 18), end: frame.at(post.x_m + 0.05, post.y_m, post.height_m - 0.12), air: true });
  for (const link of view.links)
    labels.push({ link: link.id, lines: [...wrap(capital(link.label), 26), "?"], end: onWire(link, view, frame), air: true });
  if (view.bilge?.x_m !== undefined && view.bilge.water !== "dry")
    labels.push({ lines: ["Bilge water"], end: frame.at(view.bilge.x_m + 0.3 * (view.bilge.length_m ?? 1), 0, view.bilge.height_m), air: true });
  for (const label of labels) {
    label.end = aimOf(label, view, frame);
    label.w = Math.max(...label.lines.map((t) => textWidth(t === "?" ? "closed" : t.replace("~", ""), t[0] === "~" || t === "?"))) + 8;
    label.h = label.lines.length * LINE + 2;
  }
  return labels;
}
function metalBox(part, frame) {
  const [x, y] = middle(part, frame), r = Math.max(part.length_m * frame.scale, 16) / 2;
  const half = part.shape === "plate" || part.shape === "fastening" ? 6 : part.shape === "shaft" ? 0.2 * r : part.shape === "heat_exchanger" ? 0.5 * r : part.shape === "engine" ? 0.7 * r : r;
  return { x: x - r, y: y - half, w: 2 * r, h: 2 * half };
}
// What no label may lie on: metal, places for the clip, and lines cut into short boxes.
function obstacles(view, frame) {
  // what can be lifted keeps both its places free, so that lifting it moves no other words
  const both = view.parts.filter((part) => part.hoistable).map((part) => ({ ...part, lowered: !part.lowered }));
  const solid = (part) => part.shape !== "hull" && part.shape !== "keel";
  const boxes = [...view.parts, ...both].filter(solid).map((part) => metalBox(part, frame)), ring = (points) => points.map(([x, h]) => frame.at(x, 0, h));
  const line = (points) => points.forEach(([x, y], k) => {
    const [fx, fy] = points[Math.max(k - 1, 0)], steps = Math.ceil(Math.hypot(x - fx, y - fy) / 14);
    for (let t = 0; t < steps; t++) boxes.push({ w: Math.abs(x - fx) / steps + 2, h: Math.abs(y - fy) / steps + 2,
      x: Math.min(fx + ((x - fx) * t) / steps, fx + ((x - fx) * (t + 1)) / steps) - 1, y: Math.min(fy + ((y - fy) * t) / steps, fy + ((y - fy) * (t + 1)) / steps) - 1 });
  });
  line([...ring(view.boat.profile), ring(view.boat.profile)[0]]);
  line(ring(view.boat.deckhouse));
  wirePaths(view, frame).forEach(line);
  if (Object.keys(view.leads).length > 2) boxes.push({ x: frame.width - PARKED - 30, y: 0, w: PARKED + 30, h: 90 });  // where leads lie
  // where the cell stands while it is out of the water: on the rail amidships
  const mid = view.boat.length_m / 2, [gx, gy] = frame.at(mid, 0, gunwale(view.boat, mid).height);
  boxes.push({ x: gx - 12, y: gy - 54, w: 24, h: 48 });
  for (const point of view.points) { const [x, y] = frame.at(point.x_m, point.y_m, point.height_m); boxes.push({ x: x - 9, y: y - 12, w: 18, h: 18 }); }
  for (const link of view.links) { const [x, y] = onWire(link, view, frame); boxes.push({ x: x - 16, y: y - 18, w: 32, h: 24 }); }
  return boxes;
}
// Inside: each label takes the free place with the shortest leader that crosses no other. Boxes are looked up by the strip
// of the drawing they lie in, or a boat with many wires would take a second to letter.
const STRIP = 24;
function placeInside(labels, view, frame) {
  const strips = [], placed = [];
  for (const box of obstacles(view, frame))
    for (let s = Math.max(0, Math.floor((box.y - 2) / STRIP)); s <= Math.floor((box.y + box.h + 2) / STRIP); s++) (strips[s] ??= []).push(box);
  const blocked = (spot) => {
    for (let s = Math.floor(spot.y / STRIP); s <= Math.floor((spot.y + spot.h) / STRIP); s++)
      if (strips[s]?.some((box) => meets(box, spot))) return true;
    return placed.some((other) => meets(spot, other.spot, 8));
  };
  for (const label of labels) {
    const [ex, ey] = label.end, places = [];
    for (let y = 4; y <= frame.surface - label.h - 4; y += 6) for (let x = 4; x <= frame.east - label.w; x += 8) {
      const tip = [clamp(ex, x + 6, x + label.w - 6), clamp(ey, y, y + label.h)], far = Math.hypot(tip[0] - ex, tip[1] - ey);
      places.push([Math.max(far, 30 - far), x, y, tip]);
    }
    places.sort((a, b) => a[0] - b[0]);
    let best = Infinity;
    for (const [far, x, y, tip] of places) {
      if (far >= best) break;
      const spot = { x, y, w: label.w, h: label.h };
      if (blocked(spot)) continue;
      const value = placed.reduce((sum, other) =>
        sum + (cuts(other.spot, tip, label.end) || cuts(spot, other.path[0], other.end) ? 400 : 0) + (crosses(tip, label.end, other.path[0], other.end) ? 200 : 0), far);
      if (value < best) { best = value; label.spot = spot; label.path = [tip, label.end]; }
    }
    if (label.spot) placed.push(label);
  }
  return placed;
}
// In the water: columns of steps. Sorted along the boat, the aftmost label of a column lies deepest, so that every leader
// comes straight down on its own label's left end and no two can cross. Where the water is too shallow for all of them,
// they stand under the drawing instead.
function placeSteps(labels, frame, shelf, from, limit) {
  if (!labels.length) return true;
  const sorted = [...labels].sort((a, b) => a.end[0] - b.end[0]), room = frame.bed - shelf - 8;
  const columns = (rows) => Array.from({ length: Math.ceil(sorted.length / rows) }, (_, k) => sorted.slice(k * rows, (k + 1) * rows));
  const tops = (rows) => {  // where each row begins: as low as the tallest labels above it ask
    const tall = Array(rows).fill(0);
    for (const column of columns(rows)) column.forEach((label, i) => { const row = column.length - 1 - i; tall[row] = Math.max(tall[row], label.h); });
    return tall.reduce((all, h) => [...all, all.at(-1) + h + 3], [0]);
  };
  let most = sorted.length;
  while (most > 1 && tops(most)[most] > room) most--;
  const lay = (rows, top) => {
    const edges = Array(rows).fill(from), down = tops(rows);
    for (const column of columns(rows)) {
      let last = from;
      column.forEach((label, i) => {
        const row = column.length - 1 - i, x = last = Math.max(label.end[0] - 4, last + 14, Math.max(...edges.slice(0, row + 1)) + 12);
        label.spot = { x, y: top + down[row], w: label.w, h: label.h };
        label.path = [[x + 4, label.spot.y + 2], [x + 4, shelf], label.end];
      });
      column.forEach((label, i) => { edges[column.length - 1 - i] = label.spot.x + label.w; });
    }
    return Math.max(...edges) <= limit;
  };
  if (!frame.clear && tops(most)[most] <= room && lay(most, shelf + 4)) return true;
  for (let rows = Math.min(2, sorted.length); rows <= sorted.length; rows++) {
    const fits = lay(rows, frame.bed + 54);
    if (!fits && rows < sorted.length) continue;
    frame.height = Math.max(frame.height, frame.bed + 54 + tops(rows)[rows] + 6);
    break;
  }
  return false;
}
// A fin keel stands in the middle of the water: what lies abaft of it is named there, the rest before it.
function placeOutside(labels, view, frame) {
  const feet = (list) => Math.max(...list.map((label) => label.foot ?? label.end[1])) + 0.06 * frame.scale + 2, limit = frame.width - SCALE_ROOM - 8;
  const fin = view.parts.find((p) => p.shape === "keel" && p.length_m < 0.4 * view.boat.length_m && view.boat.draft_m + edgesAt(view.boat, p.x_m).bottom > 0.5);
  if (fin && labels.length) {
    const [x] = middle(fin, frame), half = 0.5 * fin.length_m * frame.scale + 10, deep = (label) => label.foot > frame.surface - (edgesAt(view.boat, fin.x_m).bottom - 0.45) * frame.scale;
    const abaft = labels.filter((label) => label.end[0] + label.w < x - half && !deep(label)), before = labels.filter((label) => !abaft.includes(label)), shallow = labels.filter((label) => !deep(label));
    const shelf = feet(shallow.length ? shallow : labels), height = frame.height;
    if (placeSteps(abaft, frame, shelf, -Infinity, x - half) && placeSteps(before, frame, shelf, x + half, limit)) return labels;
    frame.height = height;
  }
  if (labels.length) placeSteps(labels, frame, feet(labels), -Infinity, limit);
  return labels;
}
// Lettering depends on where things are, never on their state: what is switched or lifted moves no words.
function placeLabels(view, frame) {
  const still = { ...view, parts: view.parts.map((part) => (part.hoistable ? { ...part, lowered: true } : part)) };
  const labels = labelsFor(still, frame), inside = placeInside(labels.filter((label) => label.air).reverse(), still, frame);
  return [...inside, ...placeOutside(labels.filter((label) => !inside.includes(label)), still, frame)];
}

// ---- the water made visible: dotted lines of potential, and the ways of the current -----------------------

const RAMP = 6;
const perMetre = (view, frame) => ([x, d]) => [frame.left + x * frame.scale, frame.surface + d * frame.scale];
// Not behind the hull as she is drawn.
const isWet = (view) => ([x, d]) => d > 0.2 && (x < 0 || x > view.boat.length_m || -d < edgesAt(view.boat, x).bottom - 0.12);
// A way of the current: a whole line with an arrow near its middle, where the hull does not hide it.
function currentWay(points, view, px) {
  const wet = isWet(view), half = Math.floor(points.length / 2);
  const k = [...points.keys()].slice(1).sort((a, b) => Math.abs(a - half) - Math.abs(b - half)).find((i) => wet(points[i])) ?? half;
  const path = points.map(px), [[x1, y1], [x2, y2]] = [path[Math.max(k - 1, 0)], path[k]], turn = (Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI;
  return [draw("path", { d: trace(path, false), class: "ws-way" }), draw("path", { d: "M-7 -5L2 0L-7 5", class: "ws-way", transform: `translate(${x2} ${y2}) rotate(${turn})` })];
}
function lookLayer(view, frame) {
  const group = draw("g", { class: "ws-look" }), lines = [...(view.look?.lines ?? [])].sort((a, b) => a.mV - b.mV), numbers = [], px = perMetre(view, frame), wet = isWet(view);
  lines.forEach((line, k) => {
    const tone = Math.round((k / Math.max(lines.length - 1, 1)) * RAMP), path = line.segments.map(([a, b, c, d]) => trace([px([a, b]), px([c, d])], false)).join("");
    group.append(draw("path", { d: path, fill: "none", stroke: `var(--ws-ramp-${tone})`, "stroke-width": 2.4, "stroke-linecap": "round", "stroke-dasharray": "0.1 5" }));
    const clear = line.segments.map(([a, b]) => [a, b]).filter(wet).map(px).filter(([x, y]) => x > 24 && x < frame.width - SCALE_ROOM - 24 && y < frame.bed - 10 && numbers.every(([nx, ny]) => Math.hypot(nx - x, (ny - y) * 2) > 58));
    if (clear.length) numbers.push([...clear[Math.floor(clear.length * 0.5)], line.mV]);
  });
  for (const { points } of view.look?.paths ?? []) group.append(...currentWay(points, view, px));
  for (const [x, y, level] of numbers) group.append(draw("text", { x, y: y + 5, "text-anchor": "middle", class: "ws-halo ws-level" }, String(level).replace("-", "\u2212")));
  return group;
}

// ---- the drawing ---------------------------------------------------------------------------------------

const trace = (points, closed) => "M" + points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L") + (closed ? "Z" : "");

function waterAndScales(frame, view) {
  const { surface, bed, width, scale } = frame, depth = view.berth.depth_m, group = draw("g");
  const ink = { stroke: "var(--ws-ink)", fill: "none", "stroke-width": 1 };
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
    if (d % 1 === 0 && (d === 0 || surface + d * scale < bed - 6)) group.append(draw("text", { x: rule + 16, y: surface + d * scale + (d === 0 ? 14 : 5) }, `${d} m`));
  }
  group.append(draw("path", { d: ticks, ...ink, "stroke-width": 1.2 }));
  const base = bed + 22, step = scale > 46 ? 1 : 2;
  let along = `M${frame.at(0, 0, 0)[0]} ${base}H${frame.at(view.boat.length_m, 0, 0)[0]}`;
  for (let x = 0; x <= view.boat.length_m; x += step) {
    const [px] = frame.at(x, 0, 0);
    along += `M${px} ${base}v7`;
    if (px < rule - 100) group.append(draw("text", { x: px, y: base + 23, "text-anchor": "middle" }, String(x)));
  }
  group.append(draw("text", { x: rule + 50, y: base + 23, "text-anchor": "end" }, "m from transom"));
  group.append(draw("path", { d: along, ...ink, "stroke-width": 1.2 }));
  return group;
}
// What lies in the other berths, as an eye sees it: an outline, and no more. Metres forward of her middle, and above the water:
// by the words she is known by, her hull, what stands on it, and her masts; the same as in the figure for print (figure/far.py).
const FAR = [
  [/ketch|yawl|sloop|cutter|schooner|sail/i, [[-4.6, 0.35], [-5.2, 1.15], [-1, 0.95], [3, 1.1], [5.6, 1.5], [4.2, 0], [-3.8, 0]],
    [[[-2.2, 0.97], [-1.9, 1.4], [1.6, 1.45], [2.2, 1.05]]], [[[0.4, 1.4], [0.4, 11]], [[0.4, 2.1], [-3.4, 2]]]],
  [/barge/i, [[-7, 0], [-8, 1.5], [8, 1.5], [7, 0]], [[[-6.6, 1.5], [-6.6, 3.1], [-4.2, 3.1], [-4.2, 1.5]]], []],
  [/narrow|hire boat/i, [[-6.6, 0], [-7.2, 0.9], [-5, 0.75], [5, 0.75], [7.4, 1.15], [6.4, 0]], [[[-5.2, 0.75], [-5, 1.6], [4.2, 1.6], [4.6, 0.75]]], []],
  [/open boat|dory|launch|dinghy/i, [[-2.6, 0], [-2.7, 0.65], [0, 0.6], [3, 0.95], [2.3, 0]],
    [[[-0.2, 0.6], [0, 1.15], [0.25, 1.15], [0.35, 0.62]], [[-3.1, 0.3], [-3.1, 1.05], [-2.75, 1.05], [-2.7, 0.5]]], []],
  [/./, [[-5, 0], [-5.2, 1.2], [0, 1.3], [5.8, 1.75], [4.4, 0]], [[[-3.6, 1.22], [-3.4, 2.3], [1.4, 2.4], [3, 1.5]], [[-2.6, 2.3], [-2.3, 3.1], [0, 3.1], [0.6, 2.35]]], []],
];
function neighbours(frame, view) {
  const group = draw("g", { class: "ws-far" });
  for (const other of view.neighbours ?? []) {
    const x = other.x_m + OBLIQUE.x * clamp(other.y_m, -9, 9), [, hull, upper, masts] = FAR.find(([words]) => words.test(other.label));
    const line = (points, closed) => draw("path", { d: trace(points.map(([dx, h]) => [frame.left + (x + dx) * frame.scale, frame.surface - h * frame.scale]), closed) });
    const mizzen = /ketch|yawl/i.test(other.label) ? [[[-3.9, 1], [-3.9, 7.5]]] : [];
    group.append(draw("g", {}, draw("title", {}, other.label), ...upper.map((points) => line(points, true)), line(hull, true), ...[...masts, ...mizzen].map((points) => line(points, false))));
  }
  return group;
}
function hullAndHouse(frame, view, uid) {
  const ring = (points, y = 0) => points.map(([x, h]) => frame.at(x, y, h));
  const two = view.boat.hulls === 2, apart = two ? Math.min(view.boat.hull_spacing_m ?? 3, 3.2) / 2 : 0;
  const hull = trace(ring(view.boat.profile), true), house = trace(ring(view.boat.deckhouse), false);
  const [, sole] = frame.at(0, 0, view.boat.cabin_sole_height_m);
  const line = { fill: "none", "stroke-linejoin": "round" };
  const group = draw("g", {});
  if (two) group.append(draw("path", { d: trace(ring(view.boat.profile, -2 * apart), true), fill: "var(--ws-hull)", stroke: "var(--ws-line)", "stroke-width": 1.4, "stroke-linejoin": "round" }));
  group.append(
    draw("path", { d: house, ...line, fill: "var(--ws-hull)", stroke: "var(--ws-ink)", "stroke-width": 1.3 }),
    draw("clipPath", { id: `${uid}-hull` }, draw("path", { d: hull })),
    // two strokes leave a double line: the shell, cut through
    draw("path", { d: hull, ...line, fill: "var(--ws-hull)", stroke: "var(--ws-ink)", "stroke-width": 7 }),
    draw("path", { d: hull, ...line, stroke: "var(--ws-hull)", "stroke-width": 4 }),
    draw("path", { d: `M0 ${sole}H${frame.width}`, ...line, stroke: "var(--ws-line)", "stroke-width": 1.2, "stroke-dasharray": "12 4 2 4", "clip-path": `url(#${uid}-hull)` }),
    draw("path", { d: `M${frame.at(0, 0, 0)[0]} ${frame.surface}H${frame.at(view.boat.length_m, 0, 0)[0]}`, ...line, stroke: "var(--ws-line)", "stroke-width": 0.9, "clip-path": `url(#${uid}-hull)` }));
  return group;
}
// Water in the bilge, as deep as it stands; a damp bilge shows as a broken line.
function bilgeWater(frame, view, uid) {
  const bilge = view.bilge;
  if (bilge?.x_m === undefined || bilge.water === "dry") return draw("g");
  const half = (bilge.length_m ?? 1) / 2, deep = bilge.water === "wet" ? 0.1 : 0.03;
  const [x1, y] = frame.at(bilge.x_m - half, 0, bilge.height_m + deep), [x2, foot] = frame.at(bilge.x_m + half, 0, bilge.height_m - 0.25);
  return draw("g", { "clip-path": `url(#${uid}-hull)` }, draw("rect", { x: x1, y, width: x2 - x1, height: foot - y, fill: "var(--ws-water)" }),
    draw("path", { d: `M${x1} ${y}H${x2}`, fill: "none", stroke: "var(--ws-ink)", "stroke-width": 1.4, "stroke-dasharray": bilge.water === "wet" ? null : "4 4" }));
}
function hoses(frame, view) {
  const group = draw("g", { fill: "none", "stroke-linejoin": "round", "stroke-linecap": "round" });
  for (const [from, to] of hosesOf(view)) {
    const [x1, y1] = middle(from, frame), [x2, y2] = middle(to, frame), up = Math.min(y1, y2) - 0.12 * frame.scale;
    const path = `M${x1} ${y1}C${x1} ${up} ${x2} ${up} ${x2} ${y2}`;
    group.append(draw("path", { d: path, stroke: "var(--ws-quiet)", "stroke-width": 7 }), draw("path", { d: path, stroke: "var(--ws-hull)", "stroke-width": 4.4 }),
      draw("path", { d: path, stroke: "var(--ws-quiet)", "stroke-width": 4.4, "stroke-dasharray": "1 6", "stroke-linecap": "butt" }));
  }
  return group;
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
// The battery with her switch, and the shore cord to the left, where the dock is.
function supply(frame, view) {
  const group = draw("g", { ...INK, fill: "var(--ws-hull)" }), post = batteryPlace(view);
  if (view.battery && post) {
    const [x, y] = frame.at(post.x_m, post.y_m, post.height_m), w = 0.36 * frame.scale;
    group.append(draw("g", { transform: `translate(${x} ${y})` }, draw("rect", { x: -w * 0.25, y: 3, width: w * 1.1, height: w * 0.62 }),
      draw("path", { d: `M${w * 0.5} 2v-4M${-w * 0.06} ${w * 0.36}h8m-4 -4v8M${w * 0.5} ${w * 0.36}h8`, "stroke-width": 1.6 })));
  }
  if (view.shore && view.shore.arrangement !== "none") {
    const inlet = view.shore.x_m === undefined ? { x_m: 0.4, y_m: 0, height_m: gunwale(view.boat, 0.4).height } : view.shore, [x, y] = frame.at(inlet.x_m, inlet.y_m ?? 0, inlet.height_m);
    const away = view.shore.plugged ? `M${x - 5} ${y}C${x - 40} ${y + 30} ${x - 60} ${y - 60} -4 ${frame.surface - 0.55 * frame.scale}` : `M${x - 15} ${y + 3}q-8 26 -22 20q-10 -6 -22 4`;
    group.append(draw("path", { d: away, fill: "none", stroke: "var(--ws-hull)", "stroke-width": 7 }), draw("path", { d: away, fill: "none", "stroke-width": 3.4 }),
      draw("rect", { x: x - 5, y: y - 7, width: 11, height: 14, rx: 2 }), draw("path", { d: `M${x - 1} ${y - 3}h3m-3 6h3`, "stroke-width": 1.4 }));
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
function lettering(labels, view, frame) {
  const leaders = draw("g", { stroke: "var(--ws-quiet)", "stroke-width": 1, fill: "var(--ws-quiet)" }), words = draw("g");
  for (const label of labels) {
    const end = aimOf(label, view, frame), [x, y] = end, toLeft = label.air && label.end[0] > label.spot.x + label.w / 2;
    const link = label.link && view.links.find((item) => item.id === label.link);
    leaders.append(draw("path", { d: trace([...label.path.slice(0, -1), end], false), fill: "none" }), draw("circle", { cx: x, cy: y, r: 2.4, stroke: "none" }));
    const block = draw("g", { class: !label.air && label.spot.y < frame.bed ? "ws-wet" : "" });
    label.lines.forEach((text, i) => block.append(draw("text", {
      x: toLeft ? label.spot.x + label.w - 4 : label.spot.x + 4, y: label.spot.y + 15 + i * LINE,
      "text-anchor": toLeft ? "end" : "start", class: `ws-halo ${text[0] === "~" || text === "?" ? "ws-metal" : ""}` },
      text === "?" ? (link.open ? "open" : "closed") : text.replace("~", ""))));
    words.append(block);
  }
  return draw("g", {}, leaders, words);
}
function paint(art, view, frame, labels, uid, look) {
  const depthOrder = view.parts.filter((p) => p.shape !== "hull").sort((a, b) => (a.y_m ?? 0) - (b.y_m ?? 0));
  const order = ["keel", "shaft", "engine", "strut", "saildrive", "through_hull"];  // what the others stand upon comes first
  depthOrder.sort((a, b) => (a.y_m < -0.05) === (b.y_m < -0.05) ? (order.includes(b.shape) - order.includes(a.shape)) : a.y_m - b.y_m);
  art.setAttribute("height", labels.height);
  art.setAttribute("viewBox", `0 0 ${frame.width} ${labels.height}`);
  const pieces = (list) => draw("g", {}, ...list.map((p) => metal(p, view, frame, uid)));
  const far = pieces(depthOrder.filter((p) => p.y_m < -0.05));
  far.setAttribute("opacity", 0.62);
  art.replaceChildren(hatches(uid), draw("rect", { x: 0, y: frame.surface, width: frame.width, height: frame.bed - frame.surface, fill: "var(--ws-water)" }),
    neighbours(frame, view), waterAndScales(frame, view), look ? lookLayer(view, frame) : draw("g"),
    hullAndHouse(frame, view, uid), pieces(view.parts.filter((p) => p.shape === "hull")), bilgeWater(frame, view, uid),
    far, hoses(frame, view), wiring(frame, view), pieces(depthOrder.filter((p) => !(p.y_m < -0.05))),
    supply(frame, view), linksAndPoints(frame, view), lettering(labels, view, frame));
}

// ---- the bench: real HTML controls, every one of them reachable by keyboard ------------------------------

const JACK_WORDS = { COM: "common", V: "volts, ohms", A: "current" };
const WAITS = [1, 10, 30, 60];
const ROW = 44, SPOKE = 46;  // px: from one dial position to the next in its column; from the knob's middle to a column

// The dial: a knob between two columns of positions, up the left side and down the right, each joined to it by a line.
function dialOf(view, uid, send) {
  const names = view.meter.dials, left = Math.ceil(names.length / 2), rows = Math.max(left, names.length - left);
  const top = (count) => ((rows - count) * ROW) / 2 + ROW / 2, half = (rows * ROW) / 2;
  const spots = names.map((_, i) => (i < left ? [-1, top(left) + (left - 1 - i) * ROW - half] : [1, top(names.length - left) + (i - left) * ROW - half]));
  const angle = ([way, y]) => (Math.atan2(y * 0.62, way * SPOKE) * 180) / Math.PI;
  const needle = draw("path", { d: "M-12 -6H8L31 0L8 6H-12Z", fill: "var(--ws-ink)", class: "ws-needle" });
  const knob = draw("svg", { viewBox: `-62 ${-half} 124 ${2 * half}`, style: `height:${2 * half}px`, "aria-hidden": "true" },
    ...spots.map((spot) => {
      const a = (angle(spot) * Math.PI) / 180;
      return draw("path", { d: `M${41 * Math.cos(a)} ${41 * Math.sin(a)}L${spot[0] * 52} ${spot[1]}H${spot[0] * 60}`, fill: "none", stroke: "var(--ws-line)", "stroke-width": 1.2 });
    }),
    draw("circle", { r: 38, fill: "var(--ws-paper)", stroke: "var(--ws-ink)", "stroke-width": 1.6 }), needle);
  let settle = 0;
  const turn = (event) => {  // arrow keys pass over positions: only the one come to rest on is sent
    const position = event.target.value;
    clearTimeout(settle);
    settle = setTimeout(() => send("turn_dial", { position }), 200);
  };
  const labels = names.map((name, i) => make("label", { class: i < left ? "ws-leftward" : "ws-rightward", style: `top:${spots[i][1] + half}px` },
    make("input", { type: "radio", class: "ws-unseen", name: `${uid}-dial`, id: `${uid}-dial-${i}`, value: name, onchange: turn }), make("span", {}, DIAL_WORDS[name] ?? name)));
  const node = make("fieldset", { class: "ws-dial", style: `height:${2 * half}px` }, make("legend", { class: "ws-unseen" }, "dial"), knob, ...labels);
  return { node, update(now) {
    const at = now.meter.dials.indexOf(now.meter.dial);
    needle.style.transform = `rotate(${at < 0 ? 90 : angle(spots[at])}deg)`;
    for (const input of node.querySelectorAll("input")) input.checked = input.value === now.meter.dial;
  } };
}
// The analogue face: an arc of ten steps, the figures of the range, and a needle.
const fullScale = (dial) => (/^[\d.]+ V$/.test(dial) ? parseFloat(dial) : null);
function analogueFace() {
  const across = 84, at = (f, r) => { const a = ((-90 - across / 2 + across * f) * Math.PI) / 180; return [140 + r * Math.cos(a), 150 + r * Math.sin(a)]; };
  const needle = draw("path", { d: "M140 150V32", stroke: "var(--ws-digits)", "stroke-width": 2.2, class: "ws-pointer" });
  let marks = "";
  for (let k = 0; k <= 50; k++) { const [a, b] = [at(k / 50, 112), at(k / 50, k % 10 ? (k % 5 ? 118 : 121) : 125)]; marks += trace([a, b], false); }
  const figures = [0, 1, 2, 3, 4, 5].map((k) => { const [x, y] = at(k / 5, 134); return draw("text", { x, y: y + 4, "text-anchor": "middle" }); });
  const node = draw("svg", { viewBox: "0 0 280 106", class: "ws-analogue", "aria-hidden": "true" },
    draw("path", { d: marks, stroke: "var(--ws-digits)", "stroke-width": 1.2, fill: "none" }), ...figures, needle);
  return { node, point(fraction, dial) {
    const full = fullScale(dial);
    figures.forEach((text, k) => { text.textContent = full === null ? "" : String(Number(((full * k) / 5).toPrecision(3))); });
    needle.setAttribute("transform", `rotate(${-across / 2 + across * clamp(fraction ?? 0, -0.03, 1.04)} 140 150)`);
  } };
}
function meterOf(view, uid, send) {
  const number = make("span", { class: "ws-number" }), unit = make("small"), state = make("div", { class: "ws-state" });
  const analogue = view.meter.kind === "analogue" ? analogueFace() : null, digital = make("div", { class: "ws-digits" }, number, unit);
  const jacks = make("ul", { class: "ws-jacks", "aria-label": "jacks" }, ...view.meter.jacks.map((jack) =>
    make("li", {}, make("b", {}, jack), JACK_WORDS[jack] ?? "", make("span", { class: "ws-hole", style: "display:block", "data-jack": jack }))));
  const dial = dialOf(view, uid, send);
  const node = make("div", { role: "group", class: `ws-meter${analogue ? " ws-with-needle" : ""}`, "aria-label": `${view.meter.kind ?? "digital"} meter` },
    make("div", { class: "ws-face" }, make("div", { class: "ws-screen" }, ...(analogue ? [analogue.node] : []), digital, state), jacks), dial.node);
  const show = (text, itsUnit, words, fraction) => {
    put(number, text || "\u00a0"); put(unit, unitWords(itsUnit)); put(state, words);
    analogue?.point(fraction, current.dial);
  };
  let current = view.meter;
  return { node, show, update(now) { current = now.meter; dial.update(now); } };
}
function chooser(label, id, options, onchoose) {
  const select = make("select", { id, onchange: () => onchoose(select.value || null) },
    ...options.map(([value, text]) => make("option", { value: value ?? "" }, text)));
  return { node: make("div", { class: "ws-row" }, make("label", { for: id }, label), select), select, set: (value) => { select.value = value ?? ""; } };
}
// Every bonding conductor begins there; in a list the other end is what tells them apart.
const shortly = (label) => label.replace("bonding conductor from the common bonding point to ", "bonding conductor to ");
// The point all bonds meet at goes by its trade name too where a boat has another name for it.
const spotWords = ({ id, label }) => (id === "common_bonding_point" && !label.includes("bonding point") ? `${label}, common bonding point` : label);
const button = (words, onclick, attributes = {}) => make("button", { type: "button", onclick, ...attributes }, words);
const SURFACES = { painted: "under paint", scaled: "under scale", bright: "bright metal" };

// Leads and their ends: which jack, and what the clip bites on.
function leadRows(view, uid, send) {
  const jacks = [[null, "out"], ...view.meter.jacks.map((jack) => [jack, jack])], rows = [], spots = [[null, "nothing"], ...view.points.map((p) => [p.id, spotWords(p)])];
  const ends = { "test lead": "Test clip on", "long lead": "Long clip on" };  // said in full, shown as "clip on"
  for (const lead of Object.keys(view.leads)) {
    const key = lead.replaceAll(" ", "-"), jack = chooser(`${capital(lead)} in`, `${uid}-${key}`, jacks, (to) => send("plug", { lead, jack: to }));
    const clip = ends[lead] ? chooser(ends[lead], `${uid}-${key}-clip`, spots, (point) => send("clip", lead === "test lead" ? { point } : { point, lead })) : null;
    if (clip) { clip.select.setAttribute("aria-label", ends[lead]); clip.node.querySelector("label").textContent = "clip on"; }
    const bite = clip ? button("", () => {
      const point = latest.leads[lead].point;
      send("clip", { point, lead, scraped: true });
    }, { class: "ws-small", hidden: true }) : null;
    const dip = lead === "bilge probe" ? button("", () => send("dip_probe", { in_bilge: !latest.probe?.in_bilge }), { class: "ws-switch" }) : null;
    rows.push({ lead, jack, clip, bite, dip, node: make("div", { class: "ws-lead-row" }, jack.node, clip?.node ?? dip ?? make("span", { class: "ws-quiet ws-end" }, "its end is the reference cell"), ...(bite ? [bite] : [])) });
  }
  let latest = view;
  return { node: make("div", { class: "ws-leads" }, ...rows.map((row) => row.node)), update(now) {
    latest = now;
    for (const row of rows) {
      row.jack.set(now.leads[row.lead].jack);
      row.clip?.set(now.leads[row.lead].point);
      if (row.bite) {
        const point = now.points.find((p) => p.id === now.leads[row.lead].point), covered = point?.surface && point.surface !== "bright";
        row.bite.hidden = !covered;
        row.bite.textContent = covered ? `The clip bites ${SURFACES[point.surface] ?? point.surface}: scrape it bright` : "";
      }
      if (row.dip) row.dip.replaceChildren("Probe in the bilge:", make("b", {}, now.probe?.in_bilge ? "in" : "out"));
    }
  } };
}
function inHand(view, uid, send) {
  const leads = leadRows(view, uid, send), clock = make("span", { class: "ws-clock" }), said = make("p", { class: "ws-said" });
  const meters = (view.meters ?? []).length > 1 ? chooser("Meter", `${uid}-meter`, view.meters.map((m) => [m.id, m.label]), (meter) => send("take_meter", { meter })) : null;
  const waits = WAITS.map((minutes) => button(String(minutes), () => send("wait", { minutes }), { "aria-label": `wait ${minutes} ${minutes === 1 ? "minute" : "minutes"}` }));
  const nulling = button("Touch the clips together and null", () => send("null_leads", {}), { hidden: true }), fuse = button("The fuse is blown: put in a new one", () => send("change_fuse", {}), { hidden: true });
  const node = make("div", { role: "group", class: "ws-hand", "aria-label": "in hand" }, ...(meters ? [meters.node] : []), leads.node,
    make("div", { class: "ws-row ws-wait", role: "group", "aria-label": "wait, minutes" }, make("span", {}, "Wait"), ...waits, make("span", {}, "min"), clock),
    make("div", { class: "ws-row" }, button("Record reading", () => send("record", {}), { class: "ws-main" }), nulling, fuse), said);
  return { node, say: (sentence) => { said.textContent = sentence.replace(/\bk?ohm\b/g, unitWords); }, update(now) {
    leads.update(now);
    meters?.set(now.meter.kind);
    nulling.hidden = !/ohm|continuity/.test(now.meter.dial);
    nulling.textContent = now.meter.nulled ? "Leads nulled; null again" : "Touch the clips together and null";
    fuse.hidden = !now.meter.fuse_blown;
    put(clock, now.clock.text);
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
  const cells = (view.cells ?? []).length > 1 ? chooser("Cell in hand", `${uid}-kind`, view.cells.map((c) => [c.id, c.label]), (cell) => send("take_cell", { cell })) : null;
  const node = make("fieldset", { class: "ws-set" }, make("legend", {}, "Reference cell"), ...(cells ? [cells.node] : []), make("div", { class: "ws-row" }, along.input, along.label), make("div", { class: "ws-row" }, deep.input, deep.label),
    button("Hang it there", hang), button("Lift it out", () => send("lift_cell", {})),
    make("span", { class: "ws-quiet" }, "Or drag it in the drawing; arrow keys move it 0.10 m, with Shift 0.01 m."));
  return { node, update(now) {
    cells?.set(now.cell.kind);
    if (!now.cell.in_water) return;  // what was typed stays; where to hang it is for the learner to say
    if (document.activeElement !== along.input) along.input.value = metres(now.cell.x_m);
    if (document.activeElement !== deep.input) deep.input.value = metres(now.cell.depth_m);
  } };
}
// The clamp: its own display, what its jaw is round, and which way its arrow points.
function clampOf(view, uid, send) {
  if (!view.clamp || !(view.clampable ?? []).length) return { node: make("span", { hidden: true }), update() {} };
  const number = make("b", { class: "ws-clamp-digits" }), jaw = make("p"), known = new Map(view.clampable.map((c) => [c.id, c.label]));
  const pick = chooser("Conductor", `${uid}-jaw`, view.clampable.map((c) => [c.id, shortly(c.label)]), () => {});
  let latest = view;
  const close = (around, arrow = latest.clamp.arrow) => send("close_clamp", { around, arrow });
  const flip = () => close(latest.clamp.around, latest.clamp.arrow === "forward" ? "backward" : "forward");
  const round = button("Close it round this one", () => close([pick.select.value])), also = button("Take this one in as well", () => close([...new Set([...latest.clamp.around, pick.select.value])]));
  const turn = button("Turn it over", flip), open = button("Take it off", () => send("open_clamp", {}));
  const node = make("fieldset", { class: "ws-set ws-clamp" }, make("legend", {}, "Clamp, direct current"), make("span", { class: "ws-clamp-screen" }, number), pick.node, round, also, turn, open,
    button("Zero it", () => send("zero_clamp", {})), button("Record clamp", () => send("record", { instrument: "clamp" })), jaw);
  return { node, update(now) {
    latest = now;
    const { around, lies, display, unit } = now.clamp;
    put(number, `${display || "off"} ${display ? unitWords(unit) : ""}`.trim());
    put(jaw, around.length ? `Its jaw is round the ${around.map((id) => known.get(id) ?? id).join(" and the ")}; its arrow points ${lies ?? now.clamp.arrow}.` : "Its jaw is empty.");
    also.hidden = turn.hidden = open.hidden = !around.length;
  } };
}
// Links and hoists: one button each, saying its state in words.
function switchesOf(title, items, words, onpress) {
  if (!items.length) return { node: make("span", { hidden: true }), update() {} };
  const rows = items.map((item) => {
    const state = make("b"), node = make("button", { type: "button", class: "ws-switch" }, `${capital(item.label)}:`, state);
    return { id: item.id, state, button: node };
  });
  const notes = items.filter((item) => item.note).map((item) => make("span", { class: "ws-quiet" }, `${capital(item.label)}: ${item.note}.`));
  const node = make("fieldset", { class: "ws-set" }, make("legend", {}, title), ...rows.map((row) => row.button), ...notes);
  return { node, update(now) {
    for (const row of rows) {
      const item = now.find((candidate) => candidate.id === row.id);
      put(row.state, words(item));
      row.button.onclick = () => onpress(item);
    }
  } };
}
// The breaker panel: battery switch and shore lead at its head, then each circuit with what it draws and what it trips at.
function panelOf(view, uid, send) {
  if (!view.breakers.length && !view.battery && !view.shore) return { node: make("span", { hidden: true }), update() {} };
  let latest = view;
  const supply = [];
  const lever = (label, state, onclick) => {
    const word = make("b"), node = make("button", { type: "button", class: "ws-switch", onclick }, `${label}:`, word);
    supply.push({ word, state });
    return node;
  };
  const head = [];
  if (view.battery) head.push(lever(`${capital(view.battery.label ?? "battery")} switch`, (now) => (now.battery.on ? "on" : "off"), () => send("battery_switch", { on: !latest.battery.on })));
  if (view.shore) head.push(lever("Shore lead", (now) => (now.shore.plugged ? "plugged in" : "unplugged"), () => send("shore_lead", { plugged: !latest.shore.plugged })));
  const rows = view.breakers.map((item) => {
    const word = make("b"), small = item.load_A === undefined || item.load_A === null ? null : make("small", {}, ` draws ${ampere(item.load_A)}, trips at ${ampere(item.breaker_A)}`);
    const node = make("button", { type: "button", class: "ws-switch ws-breaker" }, make("span", {}, `${capital(item.label)}:`), word, ...(small ? [small] : []));
    return { id: item.id, word, node, ahead: feedsBattery(item) };
  });
  const notes = view.breakers.filter((item) => item.note).map((item) => make("li", {}, `${capital(item.label)}: ${item.note}.`));
  const board = (title, list) => (list.length ? [make("p", { class: "ws-quiet ws-board-title" }, title), make("div", { class: "ws-board" }, ...list.map((row) => row.node))] : []);
  const ahead = rows.filter((row) => row.ahead);
  const node = make("fieldset", { class: "ws-set ws-panel" }, make("legend", {}, "Breakers and switches"), make("div", { class: "ws-row" }, ...head),
    ...board(ahead.length ? "Fed through the battery switch" : "Circuits", rows.filter((row) => !row.ahead)), ...board("Fed ahead of the battery switch", ahead),
    ...(notes.length ? [make("ul", { class: "ws-quiet ws-notes" }, ...notes)] : []));
  return { node, update(now) {
    latest = now;
    for (const { word, state } of supply) put(word, state(now));
    for (const row of rows) {
      const item = now.breakers.find((candidate) => candidate.id === row.id);
      put(row.word, breakerState(item));
      row.node.classList.toggle("ws-tripped", Boolean(item.tripped));
      row.node.onclick = () => {  // the lever goes over under the hand; what follows of it, and whether it holds, the kernel says
        put(row.word, item.closed ? "off" : "on");
        send("breaker", { circuit: item.id, closed: !item.closed });
      };
    }
  } };
}
// Mending takes half an hour whether or not anything was wrong, so it asks for two steps: choose, then do.
function mendOf(view, uid, send) {
  if (!(view.mendable ?? []).length) return { node: make("span", { hidden: true }), update() {} };
  const pick = chooser("Part", `${uid}-mend`, [[null, "nothing chosen"], ...view.mendable.map((m) => [m.id, shortly(m.label)])], (part) => { go.disabled = !part; });
  const go = button("Mend it (30 minutes)", () => { send("mend", { part: pick.select.value }); pick.set(null); go.disabled = true; }, { disabled: true });
  return { node: make("fieldset", { class: "ws-set" }, make("legend", {}, "Mend"), pick.node, go), update() {} };
}
function waterOf(send) {
  const node = make("fieldset", { class: "ws-set" }, make("legend", {}, "Water"), button("Record temperature", () => send("record", { instrument: "thermometer" })),
    button("Record conductivity", () => send("record", { instrument: "conductivity meter" })));
  return { node, update() {} };
}
function keyOf(view, uid) {
  const families = [...new Set(view.parts.map((part) => part.family))];
  const swatch = (family) => draw("svg", { "aria-hidden": "true", viewBox: "0 0 34 20" },
    draw("rect", { x: 1, y: 1, width: 32, height: 18, fill: `url(#${uid}-${family in HATCH ? family : "steel"})`, stroke: "var(--ws-ink)", "stroke-width": 1.2 }));
  const line = (path, extra) => draw("svg", { "aria-hidden": "true", viewBox: "0 0 34 20" }, draw("path", { d: path, fill: "none", stroke: "var(--ws-ink)", "stroke-width": 2, ...extra }));
  const hose = draw("svg", { "aria-hidden": "true", viewBox: "0 0 34 20" }, draw("path", { d: "M1 10H33", stroke: "var(--ws-quiet)", "stroke-width": 7 }),
    draw("path", { d: "M1 10H33", stroke: "var(--ws-hull)", "stroke-width": 4.4 }), draw("path", { d: "M1 10H33", stroke: "var(--ws-quiet)", "stroke-width": 4.4, "stroke-dasharray": "1 6" }));
  const gauges = [...new Set(view.conductors.filter((wire) => !wire.contact).map((wire) => wire.label))];
  return make("ul", { class: "ws-key", "aria-label": "key to the drawing" }, ...families.map((family) => make("li", {}, swatch(family), familyName(family))),
    ...(gauges.length ? [make("li", {}, line("M1 10H33"), `conductor${gauges.length < 4 ? `, ${gauges.join(", ")}` : ""}`)] : []),
    ...(hosesOf(view).length ? [make("li", {}, hose, "hose")] : []),
    ...(view.parts.some((part) => part.anode) ? [make("li", {}, line("M5 3H29V17H5Z", { "stroke-width": 1, "stroke-dasharray": "3 2.5" }), "anode when new")] : []),
    ...(view.points.length ? [make("li", {}, line("M12 5H22V15H12ZM15 10h4m-2 -2v4", { "stroke-width": 1.4 }), "bare metal for the clip")] : []));
}

// ---- the hands: cell, clips, probe, clamp and plugs over bench and boat ------------------------------------

const CLIPS = { "test lead": "clip", "long lead": "long clip" };
function handsOf(uid, view) {
  const line = () => [draw("path", { class: "ws-under" }), draw("path", { class: "ws-lead" })];
  const grip = (radius, cy = 0) => draw("circle", { r: radius, cy, fill: "transparent", class: "ws-grip" });
  const plug = () => draw("g", {}, draw("circle", { r: 9, fill: "var(--ws-accent)", stroke: "var(--ws-paper)", "stroke-width": 2 }),
    draw("text", { x: 0, y: 32, "text-anchor": "middle", class: "ws-halo" }), grip(22));
  const jaws = () => draw("g", {}, draw("path", { d: "M0 1L-9 -20Q-8 -27 -3 -26L0 -14L3 -26Q8 -27 9 -20Z", fill: "var(--ws-accent)", stroke: "var(--ws-paper)", "stroke-width": 1.5 }), grip(24, -8));
  const place = draw("text", { y: 6 }), readout = draw("text", { y: 34, class: "ws-readout ws-halo" }), marks = draw("path", { class: "ws-lead" }), chip = draw("rect", { y: -13, height: 26, rx: 3, fill: "var(--ws-paper)", stroke: "var(--ws-accent)" });
  const cell = draw("g", { class: "ws-cell", tabindex: 0, role: "application", "aria-roledescription": "movable cell", "aria-describedby": `${uid}-cellhelp` },
    draw("circle", { class: "ws-ring", r: 32 }),
    draw("path", { d: "M-5 -22H5V-15H8V12Q8 22 0 22Q-8 22 -8 12V-15H-5Z", fill: "var(--ws-hull)", stroke: "var(--ws-accent)", "stroke-width": 2.6 }),
    draw("path", { d: "M-8 4H8V12Q8 22 0 22Q-8 22 -8 12Z", fill: "var(--ws-accent)" }),
    draw("path", { d: "M-4 9h8M-4 14h8", stroke: "var(--ws-hull)", "stroke-width": 1.6 }), draw("g", { class: "ws-place" }, chip, place), readout, grip(28));
  const leads = {}, wires = [], ends = [];
  for (const lead of Object.keys(view.leads)) {
    const wire = line(), end = CLIPS[lead] ? jaws() : lead === "bilge probe"
      ? draw("g", {}, draw("path", { d: "M-3 -22H3V6L0 14L-3 6Z", fill: "var(--ws-accent)", stroke: "var(--ws-paper)", "stroke-width": 1.5 }), grip(22, -6)) : null;
    leads[lead] = { wire, end, plug: plug() };
    wires.push(...wire);
    ends.push(...(end ? [end] : []));
  }
  const jaw = view.clamp ? draw("g", {}, draw("path", { d: "M-9 -4A11 11 0 1 1 -9 8M-4 -13L4 -13M-11 8V24H1V12", fill: "none", stroke: "var(--ws-accent)", "stroke-width": 4.4, "stroke-linecap": "round" }),
    draw("path", { class: "ws-arrow", d: "M-9 2H11M6 -3L12 2L6 7", fill: "none", stroke: "var(--ws-accent)", "stroke-width": 2 }), grip(24, 4)) : null;
  const hint = draw("text", { class: "ws-halo", "text-anchor": "middle" });
  const still = draw("g", { "aria-hidden": "true" }, ...wires, marks, ...(jaw ? [jaw] : []), ...Object.values(leads).map((lead) => lead.plug), ...ends, hint);
  const node = draw("svg", { class: "ws-hands", role: "group", "aria-label": "leads and cell" }, still, cell);
  const move = (piece, [x, y]) => piece.setAttribute("transform", `translate(${x} ${y})`);
  return { node, cell, leads, jaw, chip, place, readout, marks, hint, move, run: (lead, path) => leads[lead].wire.forEach((piece) => piece.setAttribute("d", path)) };
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
// The view as it is sent: what stands still, what moves, the map a dragged cell follows, the look layer. Only what changed comes anew.
const PIECES = ["still", "moving", "drag", "layer"];
const together = ([still, moving, drag, layer]) => ({ ...still, ...moving, drag, look: layer?.lines ? layer : null });

function render({ model, el }) {
  const uid = `ws${freshId().slice(0, 8)}`, waiting = new Map();
  const sent = () => PIECES.map((name) => model.get(name));
  let pieces = sent(), view = together(pieces), stillKey = "", stillOf = null, drawnStill = null, drawnKey = "", drawnParts = "", drawnLook = null, handsKey = "", frame = null, labels = null, bench = null, hands = null, shape = "", layout = "", painted = "";
  let held = null, loose = {}, rest = 0, dragging = false, announced = "", fresh = false;

  const heading = make("h2"), berth = make("p", { class: "ws-quiet" }), benchBand = make("div", { class: "ws-bench" });
  const live = make("div", { class: "ws-unseen", "aria-live": "polite" });
  const art = draw("svg", { class: "ws-art", role: "img", "aria-labelledby": `${uid}-name`, "aria-describedby": `${uid}-words` });
  const boat = make("div", { class: "ws-boat" }, art), below = make("div");
  const looking = make("input", { type: "checkbox", id: `${uid}-look`, onchange: () => ask({ look: looking.checked }) }), lookSaid = make("p", { class: "ws-quiet", hidden: true });
  const look = make("div", { class: "ws-look-row", hidden: true }, looking, make("label", { for: `${uid}-look` }, "Show the potential of the water and the way of the current"), lookSaid);
  const stage = make("div", { class: "ws-stage" }, benchBand, boat);
  const words = make("ul", { id: `${uid}-words` });
  const root = make("div", { class: "wetslip", role: "region", "aria-label": view.exercise ? `boat and bench, exercise ${view.exercise}` : "boat and bench", "data-lm-suppress-shortcuts": "true" },
    make("header", {}, heading, berth), stage, look, below, live,
    make("span", { class: "ws-unseen", id: `${uid}-name` }, "the boat cut open along its length, afloat"),
    make("span", { class: "ws-unseen", id: `${uid}-cellhelp` }, "Arrow keys move the cell 0.10 metres, with Shift 0.01 metres."),
    make("details", {}, make("summary", {}, "The drawing in words"), words));

  const complain = (sentence) => { bench.say(sentence); live.textContent = announced = sentence; };
  const send = (action, args) => ask({ action, args });
  function ask(message) {
    const id = freshId();
    try {
      model.send({ ...message, id });
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
    complain("The kernel does not answer. The drawing shows the last state it sent, and what you recorded is on disk; open the page again, or run its cells again, to go on.");
  }
  function quiet() {
    waiting.forEach(clearTimeout);
    waiting.clear();
    root.removeAttribute("aria-busy");
  }

  function buildBench() {
    const meter = meterOf(view, uid, send), hand = inHand(view, uid, send), cell = cellControls(view, uid, send, complain), clampSet = clampOf(view, uid, send);
    const links = switchesOf("Links in the wiring", view.links, (i) => (i.open ? "open" : "closed"), (i) => send(i.open ? "close_link" : "open_link", { link: i.id }));
    const hoists = switchesOf("On a line", view.hoists, (i) => (i.lowered ? "in the water" : "lifted out"), (i) => send(i.lowered ? "lift_anode" : "lower_anode", { anode: i.id }));
    const panel = panelOf(view, uid, send), mend = mendOf(view, uid, send), water = view.clamp ? waterOf(send) : { node: make("span", { hidden: true }), update() {} };
    const focus = root.contains(document.activeElement) ? document.activeElement.id : "";
    benchBand.replaceChildren(meter.node, hand.node);
    below.replaceChildren(keyOf(view, uid), make("div", { class: "ws-switches" }, cell.node, clampSet.node, links.node, hoists.node, panel.node, mend.node, water.node));
    hands?.node.remove();
    hands = handsOf(uid, view);
    stage.append(hands.node);
    handsKey = "";
    holdCell();
    holdLeads();
    bench = { meter, say: hand.say, all: [meter, hand, cell, clampSet, panel, mend, water], links, hoists };
    if (focus) root.querySelector(`#${CSS.escape(focus)}`)?.focus({ preventScroll: true });
  }
  function update() {
    const identity = (list) => (list ?? []).map((item) => [item.id, item.label, item.note, item.family, item.load_A, item.breaker_A, item.feed]);
    if (stillOf !== pieces[0]) {
      stillOf = pieces[0];
      stillKey = JSON.stringify([view.points, view.parts, view.clampable, view.mendable, view.cells, view.meters].map(identity));
    }
    const { meter } = view, kept = [view.links, view.hoists, view.breakers];
    const now = JSON.stringify([view.slip, meter.kind, meter.dials, meter.jacks, Object.keys(view.leads), Boolean(view.battery), Boolean(view.shore), ...kept.map(identity)]) + stillKey;
    if (now !== shape) { shape = now; buildBench(); }
    put(heading, `${view.boat.name}, ${view.boat.kind}, ${view.boat.length_m} m`);
    const { water, water_temperature_degC: degrees, salinity } = view.berth, sight = (view.neighbours ?? []).map((n) => n.label);
    put(berth, `${view.berth.marina}, berth ${view.berth.name}. ${capital(water)}${degrees === undefined ? "" : `, ${degrees} °C`}${salinity === undefined ? "" : `, salinity ${salinity}`}. ` +
      `${sight.length ? `In sight: ${sight.join("; ")}. ` : ""}${view.boat.history ?? ""}`);
    bench.all.forEach((piece) => piece.update(view));
    bench.links.update(view.links); bench.hoists.update(view.hoists);
    look.hidden = !model.get("look_allowed");
    looking.checked = Boolean(view.look);
    lookSaid.hidden = !view.look;
    put(lookSaid, (view.look?.words ?? []).join(" "));
    redraw();
  }
  function tellWords() {
    const lines = model.get("words") ?? [], items = words.children;
    lines.forEach((line, i) => { if (items[i]) put(items[i], line); else words.append(make("li", {}, line)); });
    while (items.length > lines.length) words.lastChild.remove();
  }
  function redraw() {
    const width = Math.round(stage.clientWidth);
    if (width < 60) return;  // not on the page yet; the observer calls again
    const still = (list) => list.map((item) => [item.id, item.label, item.metal, item.x_m, item.y_m, item.height_m, item.length_m]);
    const key = JSON.stringify([width, still(view.links), Object.keys(view.leads), Boolean(view.look)]);
    if (drawnStill !== pieces[0] || key !== drawnKey) {
      [drawnStill, drawnKey] = [pieces[0], key];
      frame = { ...frameFor(view, width), clear: Boolean(view.look) };  // where the water is looked at, no words stand in it
      const geometry = JSON.stringify([key, view.boat.profile, view.conductors, still(view.points), still(view.parts)]);
      if (geometry !== layout) {
        layout = geometry;
        labels = placeLabels(view, frame);
        labels.height = frame.height;
        painted = "";
      }
      drawnParts = JSON.stringify([view.parts, view.bilge, view.neighbours]);
    }
    const state = JSON.stringify([view.links, view.battery, view.shore]) + drawnParts;
    if (state !== painted || drawnLook !== view.look) {
      [painted, drawnLook] = [state, view.look];
      paint(art, view, frame, labels, uid, Boolean(view.look));
      handsKey = "";
    }
    const inHand = JSON.stringify([view.leads, view.cell, view.clamp?.around, view.clamp?.arrow, view.probe, view.bilge]);
    if (inHand !== handsKey) { handsKey = held || Object.keys(loose).length ? "" : inHand; layHands(); }
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
    const names = Object.keys(view.leads), room = Math.min(PARKED, frame.width - 40) / Math.max(names.length, 2);  // lying under the meter's foot
    return [names.length > 2 ? frame.width - 60 - room * (names.length - 1 - names.indexOf(lead)) - 54 : 330 + 110 * names.indexOf(lead), boatTop() + 2];
  }
  const pointNow = (lead) => view.points.find((p) => p.id === view.leads[lead].point);
  function endPlace(lead) {
    if (loose[`${lead} end`]) return loose[`${lead} end`];
    if (lead === "bilge probe") return view.probe?.in_bilge && view.bilge ? onBoat(view.bilge.x_m, 0, view.bilge.height_m) : idle(lead);
    const point = pointNow(lead);
    return point ? onBoat(point.x_m, point.y_m, point.height_m) : idle(lead);
  }
  const idle = (lead) => { const [x, y] = plugPlace(lead); return [x + 34, Math.max(y, boatTop()) + 74]; };
  function jawPlace() {
    if (loose.jaw) return loose.jaw;
    const at = view.clampable?.find((c) => c.id === view.clamp.around[0]);
    return at ? onBoat(at.x_m, at.y_m, at.height_m) : [frame.width - 26, boatTop() + 12];
  }
  function layHands() {
    // measured first, then moved: else every move has the page laid out once more
    const leads = Object.entries(hands.leads).map(([lead, pieces]) => [lead, pieces, plugPlace(lead), pieces.end ? endPlace(lead) : null]);
    const jaw = hands.jaw && jawPlace(), top = boatTop(), hung = plugPlace("cell lead");
    for (const [lead, { plug, end }, from, at] of leads) {
      hands.move(plug, from);
      put(plug.querySelector("text"), lead);
      if (!end) continue;
      hands.move(end, at);
      hands.run(lead, hangs(from, [at[0], at[1] - 22]));
    }
    if (jaw) {
      hands.move(hands.jaw, jaw);
      hands.jaw.querySelector(".ws-arrow").setAttribute("transform", view.clamp.arrow === "backward" ? "rotate(180 1 2)" : "");
    }
    layCell(top, hung);
  }
  // The cell and its cable alone: while it is dragged nothing else moves, and the page is not measured anew.
  let hung = [0, [0, 0]];
  function layCell(...places) {
    if (places.length) hung = places;
    const [top, from] = hung, cell = cellNow(), rail = gunwale(view.boat, cell.x_m);
    const [gx, gy] = [frame.left + rail.x * frame.scale, top + frame.surface - rail.height * frame.scale];
    const cx = frame.left + cell.x_m * frame.scale, cy = cell.in_water ? top + frame.surface + cell.depth_m * frame.scale : gy - 30;
    hands.move(hands.cell, [cell.in_water ? cx : gx, cy]);
    const reach = cx === gx ? "" : `Q${cx} ${gy - 6} ${cx} ${Math.min(gy + 46, cy - 22)}`;
    hands.run("cell lead", cell.in_water ? `${hangs(from, [gx, gy - 2])}${reach}V${cy - 22}` : hangs(from, [gx, cy - 22]));
    hands.place.textContent = cell.in_water ? `${metres(cell.x_m)} m, ${metres(cell.depth_m)} m deep` : "cell out of the water";
    const right = cx > frame.width - 240;
    const long = textWidth(hands.place.textContent, false) * 1.06 + 14;
    hands.place.setAttribute("x", right ? -24 - long : 31);
    hands.chip.setAttribute("x", right ? -31 - long : 24);
    hands.chip.setAttribute("width", long);
    hands.readout.setAttribute("x", right ? -24 - long : 31);
    const deep = top + frame.surface + cell.depth_m * frame.scale;
    hands.marks.setAttribute("d", cell.in_water ? `M${frame.width - SCALE_ROOM + 2} ${deep}h14M${cx} ${top + frame.bed + 14}v14` : "");
    hands.cell.classList.toggle("ws-moving", held !== null);
    hands.cell.setAttribute("aria-label", cellWords(cell));
  }
  function showDisplay() {
    const { meter, drag } = view;
    if (!held) {
      const rests = !view.leads?.["cell lead"]?.jack ? "" : view.cell.in_water ? "cell at rest" : "cell out of the water";
      bench.meter.show(meter.display, meter.unit, meter.fuse_blown ? "fuse blown" : meter.beeps ? "beeps" : meter.display === "OL" ? "more than it can show" : rests, meter.needle);
      const sentence = `${view.said ? view.said + " " : ""}Meter: ${`${meter.display || "blank"} ${unitWords(meter.unit)}`.trim()}. ${view.rows} rows in the logbook.`;
      bench.say(view.said);
      if (sentence !== announced) live.textContent = announced = sentence;
      return;
    }
    hands.readout.textContent = "";
    if (!held.in_water) return bench.meter.show("---", meter.unit, "cell moving, out of the water", 0);
    const millivolts = drag?.live ? drag.sign * (drag.base_mV - waterAt(drag, held.x_m, held.depth_m)) : null;
    // beside the cell too: where the meter is scrolled out of sight, the reading is still under the hand
    const full = fullScale(meter.dial), shown = millivolts === null || meter.kind === "analogue" ? null : digits(millivolts, meter.dial);
    bench.meter.show(...(shown ?? [meter.display, meter.unit]), "cell moving", millivolts === null || full === null ? meter.needle : millivolts / (1000 * full));
    hands.readout.textContent = shown ? `${shown[0]} ${shown[1]}` : "";
  }

  // the cell
  function moveCell(x, depth, inWater) {
    const { x_m, depth_m } = view.cell.limits;
    handsKey = "";
    held = { x_m: snap(clamp(x, ...x_m)), depth_m: snap(clamp(depth, ...depth_m)), in_water: inWater };
    layCell();
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
  function holdCell() {
    let grab = [0, 0];
    const { cell } = hands, grip = cell.querySelector(".ws-grip");
    draggable(grip, {
      begin(event) {
        dragging = true;
        cell.focus({ preventScroll: true });
        const box = grip.getBoundingClientRect();
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
    cell.addEventListener("keydown", onCellKey);
  }
  function onCellKey(event) {
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
  }

  // plugs, clips, probe and clamp: carried to the nearest place that takes them, or let go
  const pointer = (event) => { const a = stage.getBoundingClientRect(); return [event.clientX - a.left, event.clientY - a.top]; };
  const nearest = (spots, [x, y], reach) => spots.map(([id, [sx, sy]]) => [id, Math.hypot(sx - x, sy - y)])
    .filter(([, far]) => far < reach).sort((a, b) => a[1] - b[1])[0]?.[0] ?? null;
  const jackSpots = () => view.meter.jacks.map((jack) => [jack, onStage(jackNode(jack))]);
  const spotsOf = (list) => () => (list() ?? []).map((p) => [p.id, onBoat(p.x_m, p.y_m, p.height_m)]);
  const labelIn = (list) => (id) => list().find((p) => p.id === id).label;
  function carry(grip, key, spots, reach, tell, drop) {
    const show = (at, text) => { hands.hint.textContent = text; hands.move(hands.hint, [clamp(at[0], 90, frame.width - 90), at[1] - 38]); };
    draggable(grip, {
      move(event) {
        const at = pointer(event), target = nearest(spots(), at, reach);
        loose[key] = at;
        handsKey = "";
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
  function holdLeads() {
    const points = () => view.points, wires = () => view.clampable, bilge = () => (view.bilge ? [["bilge", onBoat(view.bilge.x_m, 0, view.bilge.height_m)]] : []);
    const gripOf = (node) => node.querySelector(".ws-grip");
    for (const [lead, { plug, end }] of Object.entries(hands.leads)) {
      carry(gripOf(plug), lead, jackSpots, 34, (jack) => `jack ${jack}`, (jack) => send("plug", { lead, jack }));
      if (CLIPS[lead]) carry(gripOf(end), `${lead} end`, spotsOf(points), 30, labelIn(points), (point) => send("clip", lead === "test lead" ? { point } : { point, lead }));
      else if (end) carry(gripOf(end), `${lead} end`, bilge, 60, () => "into the bilge", (spot) => send("dip_probe", { in_bilge: spot !== null }));
    }
    if (hands.jaw) carry(gripOf(hands.jaw), "jaw", spotsOf(wires), 34, labelIn(wires), (id) => (id === null ? send("open_clamp", {}) : send("close_clamp", { around: [id], arrow: view.clamp.arrow })));
  }

  // the kernel's word
  function onView() {
    const now = sent();
    if (now.every((piece, i) => piece === pieces[i])) return;  // told once already, of all that came together
    pieces = now;
    view = together(pieces);
    if (!dragging && !rest) held = null;  // a cell on the move is not called back by an earlier answer
    loose = {};
    fresh = true;
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
      if (!fresh && sent().every((piece, i) => piece === pieces[i])) update();  // nothing changed: a refused move goes back to where it was
    }
    fresh = false;
  }
  // a letter typed into a chooser is the chooser's: in JupyterLab it would otherwise cut, paste or insert cells
  root.addEventListener("keydown", (event) => { if (!event.ctrlKey && !event.metaKey) event.stopPropagation(); });
  for (const piece of PIECES) model.on(`change:${piece}`, onView);
  model.on("change:words", tellWords);
  model.on("change:answered", onAnswer);
  el.append(root);
  tellWords();
  update();
  const observer = new ResizeObserver(() => { if (frame === null || Math.round(stage.clientWidth) !== frame.width) redraw(); else layHands(); });
  observer.observe(stage);
  return () => {
    observer.disconnect();
    clearTimeout(rest);
    quiet();
    for (const piece of PIECES) model.off(`change:${piece}`, onView);
    model.off("change:words", tellWords);
    model.off("change:answered", onAnswer);
    root.remove();
  };
}

export default { render };
