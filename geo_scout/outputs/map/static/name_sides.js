'use strict';
// On which side of its place each name stands, so that names lie on nothing that must be read.
seasonMap.part(() => {
  const { data, element, layers, state, filters, labelRoom } = seasonMap;
  const { map, groups } = layers;
  const DOT_PX = 4; // half the dot of a place, with its rim
  const GAP_PX = 5; // from a place to its name
  const CREW_PX = 13; // half the mark of a crew base, with its rim
  const CREW_NAME_PX = 16; // from the middle of the base to its own name beside it
  const FLAG_PX = [17, 34]; // half the width of a ranked site's flag, and its height

  const boxAt = ([x, y], left, top, width, height) => ({ left: x + left, top: y + top, right: x + left + width, bottom: y + top + height });
  const contains = (box, [x, y]) => x > box.left && x < box.right && y > box.top && y < box.bottom;

  // As map.css has them: around a dot; around the mark of a crew base, for the name of a place there, and for its own.
  const AROUND_DOT = {
    'is-right': (at, width, height) => boxAt(at, -DOT_PX, -height / 2, DOT_PX + GAP_PX + width, height),
    'is-left': (at, width, height) => boxAt(at, -GAP_PX - width, -height / 2, DOT_PX + GAP_PX + width, height),
    'is-above': (at, width, height) => boxAt(at, -width / 2, -GAP_PX - height, width, DOT_PX + GAP_PX + height),
    'is-below': (at, width, height) => boxAt(at, -width / 2, -DOT_PX, width, DOT_PX + GAP_PX + height),
  };
  const AROUND_BASE = {
    'is-left-of-base': (at, width, height) => boxAt(at, -CREW_PX - width, -height / 2, width, height),
    'is-below-base': (at, width, height) => boxAt(at, -width / 2, CREW_PX, width, height),
    'is-above-base': (at, width, height) => boxAt(at, -width / 2, -CREW_PX - height, width, height),
  };
  const OF_BASE = {
    'is-right-of-base': (at, width, height) => boxAt(at, CREW_NAME_PX, -height / 2, width, height),
    ...AROUND_BASE,
  };
  const IN_THE_MIDDLE = { '': (at, width, height) => boxAt(at, -width / 2, -height / 2, width, height) };

  // Widths and heights of texts as they will stand, laid out all at once.
  function sizesOf(className, texts) {
    const probe = element('div', { class: `${className} is-measured` }, ...texts.map((text) => element('span', {}, text)));
    map.getPane('names').append(probe);
    const sizes = [...probe.children].map((span) => [span.offsetWidth, span.offsetHeight]);
    probe.remove();
    return sizes;
  }

  // Letters differ between narrow and wide pages: sizes are taken anew when one becomes the other.
  let measured = { isNarrow: null };
  function measure(crews, districts, places) {
    const isNarrow = seasonMap.isNarrow();
    if (measured.isNarrow === isNarrow) return;
    const textsOf = (names) => names.map(({ text }) => text);
    measured = { isNarrow, crews: sizesOf('crew-name', textsOf(crews)), districts: sizesOf('district-name', textsOf(districts)), places: sizesOf('place-name', textsOf(places)) };
  }

  // Pixels of the whole world at this zoom: which names there is room for hangs on the zoom, not on the view.
  const pixelsOf = ([latitude, longitude]) => { const { x, y } = map.project([latitude, longitude]); return [x, y]; };
  const at = (one) => pixelsOf([one.latitude_deg, one.longitude_deg]);

  const crewMarks = () => (map.hasLayer(groups.crews) ? data.crews.map((crew) => boxAt(at(crew), -CREW_PX, -CREW_PX, 2 * CREW_PX, 2 * CREW_PX)) : []);

  function flagBoxes() {
    if (!map.hasLayer(groups.ranked)) return [];
    const [half, height] = FLAG_PX;
    return state.ranking().sites
      .filter((site) => site.group === 'ranked' && site.rank <= data.season.top_n && site.latitude_deg !== null && filters.passes(site))
      .map((site) => boxAt(at(site), -half, -height, 2 * half, height));
  }

  const fixed = (box) => ({ boxes: [box], isFixed: true });

  function candidate(name, sides, size) {
    const place = pixelsOf(name.position);
    return { name, sides: Object.keys(sides), boxes: Object.values(sides).map((box) => box(place, ...size)) };
  }

  // Gives each name its side: a class of map.css, or null where there is no room for it.
  // A crew base is named even so.
  seasonMap.nameSides = (crews, districts, places) => {
    measure(crews, districts, places);
    const marks = crewMarks();
    const isAtBase = (name) => marks.some((box) => contains(box, pixelsOf(name.position)));
    const things = [
      ...districts.map((name, number) => candidate(name, IN_THE_MIDDLE, measured.districts[number])),
      ...[...marks, ...flagBoxes()].map(fixed),
      ...(marks.length === 0 ? [] : crews.map((name, number) => candidate(name, OF_BASE, measured.crews[number]))),
      ...places.map((name, number) => candidate(name, isAtBase(name) ? AROUND_BASE : AROUND_DOT, measured.places[number])),
    ];
    labelRoom(things).forEach((chosen, number) => {
      const { name, sides, boxes } = things[number];
      if (!name) return;
      const side = chosen < 0 && name.kind === 'crew' ? 0 : chosen;
      [name.side, name.box] = side < 0 ? [null, null] : [sides[side], boxes[side]];
    });
  };
});
