'use strict';
// The map's symbols. Each says with its shape what it also says with its colour.
seasonMap.part(() => {
  const { drawing } = seasonMap;
  const INK = '#22303a';
  const ALERT = '#a8480f';
  const BLUE = '#1c2f7a';
  const RAMP = ['#f8ecb0', '#98cbab', '#4aa9b3', '#2a74a8', '#1c2f7a'];

  const step = (score) => (score === null ? null : Math.max(0, Math.min(4, Math.floor(score * 5))));
  const fill = (score) => (score === null ? '#ffffff' : RAMP[step(score)]);
  const inkOn = (score) => (score !== null && step(score) >= 3 ? '#ffffff' : INK);

  function svg(width, height, ...parts) {
    return drawing('svg', { width, height, viewBox: `0 0 ${width} ${height}`, 'aria-hidden': 'true', focusable: 'false' }, ...parts);
  }

  const FLAG = {
    release: 'M5 1.5h24a3.5 3.5 0 0 1 3.5 3.5v17a3.5 3.5 0 0 1-3.5 3.5h-7.5l-4.5 8-4.5-8H5a3.5 3.5 0 0 1-3.5-3.5v-17A3.5 3.5 0 0 1 5 1.5z',
    source: 'M17 1.5a13 13 0 0 1 6 24.5l-6 7.5-6-7.5a13 13 0 0 1 6-24.5z',
  };

  function flag(role, rank, score) {
    const size = String(rank).length > 2 ? 12 : 14;
    return svg(34, 35,
      drawing('path', { class: 'edge of-rank', d: FLAG[role], fill: fill(score), stroke: INK, 'stroke-width': 1.5 }),
      drawing('text', { x: 17, y: role === 'release' ? 18.5 : 19.5, 'text-anchor': 'middle', 'font-size': size, 'font-weight': 700, fill: inkOn(score) }, String(rank)));
  }

  function dot(role, score) {
    const shape = role === 'release'
      ? drawing('rect', { class: 'edge of-rank', x: 2, y: 2, width: 12, height: 12, rx: 2, fill: fill(score), stroke: INK, 'stroke-width': 1.5 })
      : drawing('circle', { class: 'edge of-rank', cx: 8, cy: 8, r: 6.5, fill: fill(score), stroke: INK, 'stroke-width': 1.5 });
    return svg(16, 16, shape);
  }

  const CROSS = 'M3.5 3.5l9 9M12.5 3.5l-9 9';
  const cross = () => svg(16, 16,
    drawing('path', { class: 'edge', d: CROSS, stroke: '#ffffff', 'stroke-width': 5, 'stroke-linecap': 'round' }),
    drawing('path', { d: CROSS, stroke: '#56636b', 'stroke-width': 2.2, 'stroke-linecap': 'round' }));

  const scout = () => svg(20, 20,
    drawing('circle', { class: 'edge', cx: 10, cy: 10, r: 8.5, fill: '#ffffff', stroke: INK, 'stroke-width': 1.5, 'stroke-dasharray': '3 2' }),
    drawing('text', { x: 10, y: 15, 'text-anchor': 'middle', 'font-size': 13, 'font-weight': 700, fill: INK }, '?'));

  const RELEASES = {
    found: () => drawing('path', { class: 'edge', d: 'M9 2l7 13H2z', fill: BLUE, stroke: '#ffffff', 'stroke-width': 1.6, 'stroke-linejoin': 'round' }),
    'found too early': () => drawing('path', { class: 'edge', d: 'M9 2l7 13H2z', fill: '#ffffff', stroke: BLUE, 'stroke-width': 2.2, 'stroke-linejoin': 'round' }),
    'not found': () => drawing('path', { class: 'edge', d: 'M9 16L2 3h14z', fill: '#ffffff', stroke: ALERT, 'stroke-width': 2.2, 'stroke-linejoin': 'round' }),
    'not visited': () => drawing('path', { class: 'edge', d: 'M9 2l6.5 7L9 16 2.5 9z', fill: '#ffffff', stroke: INK, 'stroke-width': 1.8, 'stroke-linejoin': 'round' }),
  };
  const release = (outcome) => svg(18, 18, (RELEASES[outcome] || RELEASES['not visited'])());

  const population = () => svg(22, 22, drawing('path', {
    class: 'edge', d: 'M11 1.5l2.8 6 6.6.8-4.9 4.5 1.3 6.5L11 16l-5.8 3.3 1.3-6.5L1.6 8.300l6.6-.8z',
    fill: BLUE, stroke: '#ffffff', 'stroke-width': 1.6, 'stroke-linejoin': 'round',
  }));

  const FINDINGS = {
    stop: () => [drawing('path', { class: 'edge', d: 'M6 1.5h8l4.5 4.5v8L14 18.5H6L1.5 14V6z', fill: ALERT, stroke: '#ffffff', 'stroke-width': 1.5 }), '#ffffff', '!'],
    caution: () => [drawing('path', { class: 'edge', d: 'M10 1.5l9 16.5H1z', fill: '#ffffff', stroke: ALERT, 'stroke-width': 2, 'stroke-linejoin': 'round' }), ALERT, '!'],
    note: () => [drawing('circle', { class: 'edge', cx: 10, cy: 10, r: 8, fill: '#ffffff', stroke: INK, 'stroke-width': 1.5 }), INK, 'i'],
  };
  function finding(grade) {
    const [shape, ink, letter] = (FINDINGS[grade] || FINDINGS.note)();
    return svg(20, 20, shape,
      drawing('text', { x: 10, y: grade === 'caution' ? 16 : 14.5, 'text-anchor': 'middle', 'font-size': 12, 'font-weight': 700, fill: ink }, letter));
  }

  const crew = () => svg(24, 24,
    drawing('rect', { class: 'edge', x: 1, y: 1, width: 22, height: 22, rx: 4, fill: INK, stroke: '#ffffff', 'stroke-width': 1.6 }),
    drawing('path', { d: 'M12 5.5l7 6.5h-2v6h-3.5v-4h-3v4H7v-6H5z', fill: '#ffffff' }));

  const line = (style) => svg(34, 10, drawing('path', { d: 'M1 5h32', fill: 'none', ...style }));
  const patch = (style) => svg(30, 20, drawing('path', { d: 'M3 12L8 3l12-1 7 7-5 9-14-1z', ...style }));
  const north = () => svg(20, 26, drawing('path', { d: 'M10 1l7.5 23L10 19 2.5 24z', fill: INK, stroke: '#ffffff', 'stroke-width': 1.5, 'stroke-linejoin': 'round' }));

  // Leaflet takes an element here; a string would be read as markup.
  function icon(picture, kind, anchor) {
    const width = Number(picture.getAttribute('width'));
    const height = Number(picture.getAttribute('height'));
    return L.divIcon({ className: `symbol ${kind}`, html: picture, iconSize: [width, height], iconAnchor: anchor || [width / 2, height / 2] });
  }

  seasonMap.symbols = { RAMP, INK, step, fill, flag, dot, cross, scout, release, population, finding, crew, line, patch, north, icon };
});
