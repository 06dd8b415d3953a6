'use strict';
// What was noticed in the layers, where it has a place. Off at first, and drawn when it is first switched on.
seasonMap.part(() => {
  const { data, symbols, layers } = seasonMap;
  const { groups } = layers;
  const SEEN_LAST = ['note', 'caution', 'stop']; // later ones lie on top

  function drawFinding(finding) {
    const mark = L.marker([finding.latitude_deg, finding.longitude_deg], {
      icon: symbols.icon(symbols.finding(finding.grade), 'finding-mark'), pane: 'records', keyboard: false,
      zIndexOffset: 9000 + 1000 * SEEN_LAST.indexOf(finding.grade),
    });
    mark.on('click', () => seasonMap.cardPlace.showRecord(mark.getLatLng(), seasonMap.recordCard.finding(finding)));
    mark.addTo(groups.findings);
  }

  groups.findings.once('add', () => data.findings.forEach(drawFinding));
});
