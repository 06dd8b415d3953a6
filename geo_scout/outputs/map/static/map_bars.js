'use strict';
// What stands over the lower edge of the map while something is going on there, and its marks on the map.
seasonMap.part(() => {
  const { element, layers } = seasonMap;
  const { map } = layers;
  const FIELD_PANE = 620; // over the sites' flags

  const pane = map.createPane('field');
  pane.style.zIndex = FIELD_PANE;
  pane.style.pointerEvents = 'none';

  const bars = element('div', { class: 'map-bars' });
  const frame = map.getContainer().parentElement;
  frame.append(bars);

  // On a small map the scale stands over the bars, however high they are.
  new ResizeObserver(() => frame.style.setProperty('--bars-height', `${bars.offsetHeight}px`)).observe(bars);

  // A bar is a named group; hidden until it has something to say. isDoing: it stands while something is done on the map.
  function add(label, isDoing, ...children) {
    const bar = element('div', { class: isDoing ? 'map-bar is-doing' : 'map-bar', role: 'group', 'aria-label': label, hidden: true }, ...children);
    bars.append(bar);
    return bar;
  }

  const dot = (latitude_deg, longitude_deg, kind) => L.circleMarker([latitude_deg, longitude_deg], { pane: 'field', className: `field-dot ${kind}`, radius: 7, interactive: false });

  seasonMap.mapBars = { add, dot };
});
