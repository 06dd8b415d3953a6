'use strict';
// What stands over the map, as boxes, so that text is written beside it.
seasonMap.part(() => {
  const { map } = seasonMap.layers;
  const FURNITURE = '.map-tools > *, .fold-body, .leaflet-control, .map-bar, .graticule span';
  const SYMBOLS = '.leaflet-marker-icon:not(.contour-height) svg, .leaflet-marker-icon:not(.contour-height) span';

  // What is folded away still has a box.
  const isSeen = (node) => node.checkVisibility === undefined || node.checkVisibility();

  // Boxes in pixels from the map's corner.
  function boxes(selector) {
    const frame = map.getContainer().getBoundingClientRect();
    return [...map.getContainer().parentElement.querySelectorAll(selector)].filter(isSeen)
      .map((node) => node.getBoundingClientRect()).filter((box) => box.width > 0)
      .map((box) => ({ left: box.left - frame.left, right: box.right - frame.left, top: box.top - frame.top, bottom: box.bottom - frame.top }));
  }

  const overlap = (one, other) => one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;

  function isFree(box, taken) {
    const { x, y } = map.getSize();
    return box.left >= 0 && box.top >= 0 && box.right <= x && box.bottom <= y && !taken.some((other) => overlap(box, other));
  }

  seasonMap.standing = { furniture: () => boxes(FURNITURE), symbols: () => boxes(SYMBOLS), overlap, isFree };
});
