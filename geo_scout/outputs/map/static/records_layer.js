'use strict';
// Past releases and confirmed populations of the agent that is shown.
seasonMap.part(() => {
  const { state, symbols, layers } = seasonMap;
  const { groups } = layers;
  const SEEN_LAST = ['not visited', 'not found', 'found too early', 'found']; // later ones lie on top

  const isPlaced = (record) => record.latitude_deg !== null && record.latitude_deg !== undefined;

  function drawRelease(release, visits) {
    const mark = L.marker([release.latitude_deg, release.longitude_deg], {
      icon: symbols.icon(symbols.release(release.outcome), 'release-mark'), pane: 'records', keyboard: false,
      zIndexOffset: 1000 * SEEN_LAST.indexOf(release.outcome),
    });
    mark.on('click', () => seasonMap.popup.showRecord(mark.getLatLng(), seasonMap.recordCard.release(release, visits)));
    mark.addTo(groups.releases);
  }

  function drawPopulation(population) {
    // Beside the patch's own symbol, not over it.
    const mark = L.marker([population.latitude_deg, population.longitude_deg], {
      icon: symbols.icon(symbols.population(), 'population-mark', [-3, 22]), pane: 'records', keyboard: false, zIndexOffset: 5000,
    });
    mark.on('click', () => seasonMap.popup.showRecord(mark.getLatLng(), seasonMap.recordCard.population(population)));
    mark.addTo(groups.populations);
  }

  let shown = '';
  function redraw() {
    const now = `${state.agentIndex} ${seasonMap.season.year}`;
    if (shown === now) return;
    shown = now;
    groups.releases.clearLayers();
    groups.populations.clearLayers();
    const { releases, visits, populations } = seasonMap.recordsThen();
    for (const release of releases.filter(isPlaced)) {
      drawRelease(release, visits.filter((visit) => visit.release_id === release.release_id));
    }
    populations.filter(isPlaced).forEach(drawPopulation);
  }
  state.on('ranking', redraw);
  state.on('year', redraw);
});
