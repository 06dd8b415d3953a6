'use strict';
// Ranks over the printed map, each where there is room for it, and the ring of the chosen site.
seasonMap.part(() => {
  const { drawing, state, symbols, paperText } = seasonMap;
  const HEIGHT_PX = 18;
  const DARK_FROM_STEP = 3; // of the scores' colours, as on the screen

  // A number in the shape of its role, on a stem that stands on the place
  const TURNS = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6].map((turn) => (turn * Math.PI) / 6);
  const REACHES = [17, 26, 38, 52, 68, 86];

  function around(place, width) {
    return REACHES.flatMap((reach) => TURNS.map((turn, order) => {
      const to = [place[0] + Math.sin(turn) * (reach + (width - HEIGHT_PX) / 4), place[1] - Math.cos(turn) * reach];
      return { box: seasonMap.paperBox(to, width + 2, HEIGHT_PX + 2), line: [place, to], to, away: 3 * (reach - REACHES[0]) + 2 * order };
    }));
  }

  const badgeWidth = (role, rank) => Math.max(role === 'release' ? 21 : HEIGHT_PX, paperText.width(String(rank), 13, 700) + 9);

  function badge(role, rank, score, [x, y], isChosen) {
    const [width, corner] = [badgeWidth(role, rank), role === 'release' ? 3 : HEIGHT_PX / 2];
    const rounded = (attributes, more) => drawing('rect', {
      ...attributes, x: x - width / 2 - more, y: y - HEIGHT_PX / 2 - more, width: width + 2 * more, height: HEIGHT_PX + 2 * more, rx: corner + more,
    });
    const isDark = symbols.step(score) >= DARK_FROM_STEP;
    return drawing('g', { class: 'badge' },
      isChosen ? rounded({ class: 'chosen-ring' }, 3.5) : null,
      rounded({ class: 'badge-shape', fill: symbols.fill(score) }, 0),
      drawing('text', { class: isDark ? 'on-dark' : '', x, y: y + 4.6, 'text-anchor': 'middle', 'font-size': 13, 'font-weight': 700 }, String(rank)));
  }

  function ranks(view, places, sites) {
    const [stems, badges] = [[], []];
    for (const site of sites) {
      const place = view.at(site);
      const { to } = places.best(around(place, badgeWidth(site.role, site.rank)));
      const d = `M${place.join(' ')}L${to.join(' ')}`;
      stems.push(drawing('path', { class: 'stem-edge', d }), drawing('path', { class: 'stem', d }),
        drawing('circle', { class: 'foot', cx: place[0], cy: place[1], r: 2.4, 'data-foot': site.site_id }));
      badges.unshift(badge(site.role, site.rank, site.score_low, to, site.site_id === state.siteId));
    }
    return [...stems, ...badges];
  }

  // A chosen site that has no rank beside it has a ring around it.
  function ringOfChosen(view, numbered) {
    const site = state.siteId === null ? null : state.site(state.siteId);
    if (!site || numbered.includes(site) || site.latitude_deg === null || !view.isSafe(view.at(site))) return [];
    return [ring(view.at(site))];
  }
  const ring = ([cx, cy]) => drawing('circle', { class: 'chosen-ring is-open', cx, cy, r: 9 });

  seasonMap.paperLabels = {
    badge,
    ring,
    // numbered: the sites that show their ranks, the best first. Returns what lies over the marks.
    of(view, places, numbered, marks) {
      for (const site of numbered) places.take(seasonMap.paperBox(view.at(site), 6, 6), 3);
      const over = ranks(view, places, numbered);
      return [...seasonMap.paperNames(view, places, marks), ...ringOfChosen(view, numbered), ...over];
    },
  };
});
