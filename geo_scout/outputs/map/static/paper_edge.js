'use strict';
// Around the printed map: degrees at its edges, scale bars, north, and the colours of the scores.
seasonMap.part(() => {
  const { drawing, words, symbols } = seasonMap;
  const APART_PX = 80; // least distance between two lines of the grid
  const SIDE_PX = 160; // of the column beside the map
  const LONGEST_BAR_PX = 105;
  const HALF_LABEL_PX = 30;
  const MILE_M = 1609.344;
  const NUDGE = 1e-9; // of rounding
  const UNEVEN_FROM = 0.01; // a scale that differs by this much within the map is said to be that of its middle

  // 1, 2 or 5 with any number of noughts.
  function roundNumbers(near) {
    const power = 10 ** Math.floor(Math.log10(near) + NUDGE);
    return [1, 2, 5, 10].map((digit) => digit * power);
  }
  const roundUp = (least) => roundNumbers(least).find((number) => number >= least * (1 - NUDGE));
  const roundDown = (most) => roundNumbers(most).filter((number) => number <= most * (1 + NUDGE)).pop();

  function steps(from, to, step) {
    const decimals = Math.max(0, -Math.floor(Math.log10(step) + NUDGE));
    const found = [];
    for (let number = Math.ceil(from / step); number * step <= to; number += 1) found.push([number * step, decimals]);
    return found;
  }

  const told = (degrees, decimals, [ahead, behind]) => words.paperDegrees(Math.abs(degrees).toFixed(decimals), degrees < 0 ? behind : ahead);
  const { wrapped } = seasonMap.geodesy;

  // Meridians and parallels; those that cross the part every paper shows have a label.
  function gridOf(view) {
    const { safe } = view;
    const step = roundUp((APART_PX * (view.longitude(view.width) - view.longitude(0))) / view.width);
    const meridians = steps(view.longitude(0), view.longitude(view.width), step)
      .map(([longitude, decimals]) => ({ x: view.x(longitude), told: told(wrapped(longitude), decimals, words.paperEastWest) }));
    const parallels = steps(view.latitude(view.height), view.latitude(0), step)
      .map(([latitude, decimals]) => ({ y: view.y(latitude), told: told(latitude, decimals, words.paperNorthSouth) }));
    const isLabelled = (at, from, to) => at > from + HALF_LABEL_PX && at < to - HALF_LABEL_PX;
    return {
      meridians, parallels,
      labelledMeridians: meridians.filter(({ x }) => isLabelled(x, safe.left, safe.right)),
      labelledParallels: parallels.filter(({ y }) => isLabelled(y, safe.top, safe.bottom)),
    };
  }

  const svg = (width, height, ...parts) => drawing('svg', { width, height, viewBox: `0 0 ${width} ${height}` }, ...parts);
  const text = (attributes, said) => drawing('text', { 'font-size': 12, ...attributes }, said);

  function latitudes(view, { labelledParallels }, width) {
    return svg(width, view.height, ...labelledParallels.flatMap(({ y, told: said }) => [
      drawing('path', { class: 'tick', d: `M${width - 4} ${y}h4` }),
      text({ transform: `translate(${width - 6} ${y}) rotate(-90)`, 'text-anchor': 'middle' }, said),
    ]));
  }

  function longitudes(view, { labelledMeridians }, height) {
    return svg(view.width, height, ...labelledMeridians.flatMap(({ x, told: said }) => [
      drawing('path', { class: 'tick', d: `M${x} 0v4` }),
      text({ x, y: height - 3, 'text-anchor': 'middle' }, said),
    ]));
  }

  // A bar of four parts, dark and light in turn, and the length of the whole.
  function bar(y, metresPerPixel, metresPerUnit, said) {
    const length = roundDown((LONGEST_BAR_PX * metresPerPixel) / metresPerUnit);
    const width = (length * metresPerUnit) / metresPerPixel;
    const parts = [0, 1, 2, 3].map((part) => drawing('rect', {
      class: part % 2 === 0 ? 'bar-part is-dark' : 'bar-part', x: 1 + (part * width) / 4, y, width: width / 4, height: 5,
    }));
    return drawing('g', { class: 'scale-bar', 'data-length-m': length * metresPerUnit, 'data-width-px': width }, ...parts,
      text({ x: width + 7, y: y + 7 }, said(Number(length.toPrecision(1)))));
  }

  function scale(view) {
    const middle = view.metresPerPixel(view.height / 2);
    return svg(SIDE_PX, 28, bar(2, middle, 1000, words.paperKm), bar(18, middle, MILE_M, words.paperMiles));
  }

  function gridNote(view) {
    const middle = view.metresPerPixel(view.height / 2);
    const isUneven = [view.safe.top, view.safe.bottom].some((y) => Math.abs(view.metresPerPixel(y) / middle - 1) > UNEVEN_FROM);
    return isUneven ? words.paperScaleMiddle : '';
  }

  function north() {
    const arrow = symbols.north();
    arrow.setAttribute('x', 1);
    return svg(40, 27, arrow, text({ x: 25, y: 19, 'font-weight': 700, 'font-size': 14 }, words.north));
  }

  function ramp() {
    const step = (SIDE_PX - 2) / symbols.RAMP.length;
    return svg(SIDE_PX, 30,
      ...symbols.RAMP.map((fill, number) => drawing('rect', { class: 'bar-part', x: 1 + number * step, y: 1, width: step, height: 12, fill })),
      text({ x: 0, y: 27 }, words.lower), text({ x: SIDE_PX, y: 27, 'text-anchor': 'end' }, words.higher));
  }

  seasonMap.paperEdge = { gridOf, latitudes, longitudes, scale, gridNote, north, ramp };
});
