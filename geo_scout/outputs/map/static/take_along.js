'use strict';
// Files of the shown sites to take along: waypoints for a receiver, a list for a spreadsheet.
seasonMap.part(() => {
  const { element, words, data, state, filters, fieldFiles, fieldNotes, numbers, plainButton } = seasonMap;

  const save = ({ name, type, text }) => seasonMap.offer(name, type, text);
  const onlyRanked = element('input', { type: 'checkbox', id: 'take-ranked' });
  onlyRanked.checked = true;
  const shown = () => filters.shown().filter((site) => !onlyRanked.checked || site.group === 'ranked');

  function waypoint(site) {
    const facts = [site.site_id, site.agent, site.rank === null ? words.leftOut : words.takeScore(numbers.score(site.score_low)), site.cautions || '', ...site.whyOut];
    const name = site.name || site.site_id;
    return { name: site.rank === null ? words.takeOut(name) : words.takeRank(site.rank, name), desc: facts.filter(Boolean).join('; '), type: words.role[site.role] };
  }

  const title = () => `${data.season.title}: ${words.roles[state.role]}`;
  const weights = () => (state.ranking().inHand.isPlan ? words.takePlan : words.takeByHand);
  const gpx = plainButton('', () => save(fieldFiles.sitesGpx(shown(), state.role, title(), waypoint, fieldNotes.today())));
  const csv = plainButton('', () => save(fieldFiles.sitesCsv(shown(), state.role, weights(), fieldNotes.today())));

  function refreshTake() {
    const sites = shown();
    gpx.textContent = words.takeGpx(sites.filter((site) => site.latitude_deg !== null).length);
    csv.textContent = words.takeCsv(sites.length);
    for (const button of [gpx, csv]) button.disabled = sites.length === 0;
  }

  onlyRanked.addEventListener('change', refreshTake);
  for (const event of ['ranking', 'order', 'shown']) state.on(event, refreshTake);

  seasonMap.takeAlong = {
    node: element('section', { class: 'field-part', 'aria-labelledby': 'take-title' },
      element('h2', { id: 'take-title' }, words.takeTitle),
      element('label', { class: 'check' }, onlyRanked, element('span', {}, words.takeOnlyRanked)),
      element('div', { class: 'button-row' }, gpx, csv)),
  };
});
