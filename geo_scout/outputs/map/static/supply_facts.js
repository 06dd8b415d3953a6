'use strict';
// What a card says of how many agents a source could yield. Nothing is computed here.
seasonMap.part(() => {
  const { element, numbers, words, siteFacts } = seasonMap;

  const isKnown = (value) => value !== null && value !== undefined;
  const range = (best, low, high, digits) =>
    words.bestOf(best.toFixed(digits), low.toFixed(digits), high.toFixed(digits));

  function supply(site) {
    if (!site.supply_note) return [];
    const note = site.supply_note.charAt(0).toUpperCase() + site.supply_note.slice(1);
    return [element('h3', {}, words.supply), siteFacts.table([
      [words.supplyAgents, isKnown(site.supply) ? range(site.supply, site.supply_low, site.supply_high, 0) : words.unknown],
      [words.supplyReleases, isKnown(site.releases) ? range(site.releases, site.releases_low, site.releases_high, 1) : null],
      [words.supplyHours, isKnown(site.releases) && isKnown(site.hours_per_release) ? numbers.quantity(site.hours_per_release, 'hours') : null],
      [words.supplyWhole, isKnown(site.patch_total) ? range(site.patch_total, site.patch_total_low, site.patch_total_high, 0) : null],
    ]), element('p', { class: 'reason' }, note)];
  }

  seasonMap.supplyFacts = { supply };
});
