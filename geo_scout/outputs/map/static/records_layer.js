'use strict';
// Releases and confirmed populations of the agent that is shown, as of the year in view.
seasonMap.part(() => {
  const { element, state, symbols, layers, words, season, place } = seasonMap;
  const { groups } = layers;
  const SEEN_LAST = ['not visited', 'not found', 'found too early', 'found']; // later ones lie on top
  const RELEASE_LIFT = 1000;
  const POPULATION_LIFT = 5000;

  const isPlaced = (record) => record.latitude_deg !== null && record.latitude_deg !== undefined;
  const positionOf = (record) => (isPlaced(record) ? L.latLng(record.latitude_deg, record.longitude_deg) : null);

  const KINDS = {
    releases: {
      icon: (release) => symbols.icon(symbols.release(release.outcome), 'release-mark'),
      lift: (release) => RELEASE_LIFT * SEEN_LAST.indexOf(release.outcome),
      looks: (release) => release.outcome,
      card: (release) => seasonMap.recordCard.release(release, seasonMap.recordsThen().visitsTo(release)),
      kicker: words.release,
      title: (release) => release.release_id,
    },
    populations: {
      // Beside the patch's own symbol, not over it.
      icon: () => symbols.icon(symbols.population(), 'population-mark', [-3, 22]),
      lift: () => POPULATION_LIFT,
      looks: () => '',
      card: (population) => seasonMap.recordCard.population(population),
      kicker: words.population,
      title: (population) => population.name || population.population_id,
    },
  };

  const find = (kind, row) => seasonMap.recordsThen()[kind].find((record) => record.row === row);
  let opened = null; // {kind, row, record, card}: the card that stands open, if it is one of these

  function open(kind, row) {
    const record = find(kind, row);
    opened = { kind, record, card: KINDS[kind].card(record) };
    seasonMap.cardPlace.showRecord(positionOf(record), opened.card);
  }

  function notYet({ kind, record }) {
    return element('article', { class: 'card record-card' },
      element('p', { class: 'kicker' }, KINDS[kind].kicker),
      element('h2', { tabindex: -1 }, KINDS[kind].title(record)),
      element('p', { class: 'reason' }, words.notYetThen[kind](season.year)));
  }

  // An open card follows the year; the focus stays where the year is set.
  function refreshCard() {
    if (opened === null || !place('card').contains(opened.card)) { opened = null; return; }
    const record = find(opened.kind, opened.record.row);
    const card = record ? KINDS[opened.kind].card(record) : notYet(opened);
    opened.card.replaceWith(card);
    opened = { ...opened, card };
  }

  const drawn = { releases: new Map(), populations: new Map() }; // row -> {mark, looks}

  function add(kind, record) {
    const { icon, lift, looks } = KINDS[kind];
    const mark = L.marker(positionOf(record), {
      icon: icon(record), pane: 'records', keyboard: false, zIndexOffset: lift(record),
    });
    mark.on('click', () => open(kind, record.row));
    mark.addTo(groups[kind]);
    drawn[kind].set(record.row, { mark, looks: looks(record) });
  }

  // Marks that stay as they are are left alone, so that a slider can be drawn along.
  function redrawKind(kind) {
    const { icon, lift, looks } = KINDS[kind];
    const records = new Map(seasonMap.recordsThen()[kind].filter(isPlaced).map((record) => [record.row, record]));
    for (const [row, { mark }] of drawn[kind]) {
      if (records.has(row)) continue;
      groups[kind].removeLayer(mark);
      drawn[kind].delete(row);
    }
    for (const [row, record] of records) {
      const there = drawn[kind].get(row);
      if (!there) add(kind, record);
      else if (there.looks !== looks(record)) {
        there.mark.setIcon(icon(record)).setZIndexOffset(lift(record));
        there.looks = looks(record);
      }
    }
  }

  function redraw() {
    Object.keys(KINDS).forEach(redrawKind);
  }

  let shownAgent = null;
  state.on('ranking', () => {
    if (shownAgent === state.agentIndex) return;
    shownAgent = state.agentIndex;
    for (const kind of Object.keys(KINDS)) {
      groups[kind].clearLayers();
      drawn[kind].clear();
    }
    redraw();
  });
  state.on('year', () => { redraw(); refreshCard(); });

  seasonMap.openRecord = open;
});
