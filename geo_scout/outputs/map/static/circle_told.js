'use strict';
// What is said of a circle: the hectares in it, and the patches, releases and populations one by one.
seasonMap.part(() => {
  const { element, words, numbers, data, state, howFar, plainButton } = seasonMap;
  const LISTED = 10;
  const MORE = 200;

  const nameOf = (site) => site.name || site.site_id;
  const soft = (text) => element('p', { class: 'soft' }, text);

  // Long lists open a part at a time.
  function paged(tag, items, make) {
    const list = element(tag, { class: 'circle-list', tabindex: -1 }, ...items.slice(0, LISTED).map(make));
    let shown = Math.min(LISTED, items.length);
    if (shown === items.length) return [list];
    const more = plainButton('', () => {
      list.append(...items.slice(shown, shown + MORE).map(make));
      const first = list.children[shown].querySelector('button');
      shown = Math.min(shown + MORE, items.length);
      tell();
      (first || list).focus();
    });
    const tell = () => {
      if (shown === items.length) more.remove();
      else more.textContent = words.more(Math.min(MORE, items.length - shown), items.length - shown);
    };
    tell();
    return [list, more];
  }

  function patchItem({ site, share, infested_ha, gross_ha }) {
    const label = site.rank === null ? words.takeOut(nameOf(site)) : words.rankedName(site.rank, nameOf(site));
    const part = share > 0.9995 ? words.circleWhole : words.circlePart(words.ofShare(share));
    return element('li', {}, plainButton(element('bdi', {}, label), () => state.choose(site.site_id, 'list'), { class: 'name-button' }),
      element('span', { class: 'circle-facts' }, [part, words.circleHa(numbers.quantity(infested_ha, 'ha'), numbers.quantity(gross_ha, 'ha'))].join(': ')));
  }

  const releaseItem = (release) => element('li', {}, words.releaseHere(release.release_id, numbers.longDate(release.date), words.outcomes[release.outcome] || release.outcome));
  const populationItem = (one) => element('li', {}, words.circlePopulation(one.name || one.population_id, numbers.longDate(one.first_found)));

  const part = (title, items, make, tag) => [element('h3', {}, title), ...(items.length === 0 ? [] : paged(tag, items, make))];

  seasonMap.circleTold = (centre, radius_m) => {
    const found = seasonMap.circleContents(centre, radius_m);
    const count = (group) => found.patches.filter(({ site }) => site.group === group).length;
    const { host } = data.season.agents[state.agentIndex];
    return [
      element('p', { class: 'circle-figure', role: 'status' }, words.circleHectares(host, numbers.quantity(found.infested_ha, 'ha'), numbers.quantity(found.gross_ha, 'ha'))),
      soft(words.circleWhere(numbers.degrees(centre.latitude_deg, centre.longitude_deg), howFar.distance(radius_m))),
      found.unknown > 0 ? soft(words.circleUnknown(found.unknown)) : null,
      ...part(words.circlePatches(found.patches.length, count('ranked'), count('worthScouting'), count('leftOut')), found.patches, patchItem, 'ol'),
      ...part(words.circleReleases(found.releases.length), found.releases, releaseItem, 'ul'),
      ...part(words.circlePopulations(found.populations.length), found.populations, populationItem, 'ul'),
      seasonMap.season.year === null ? null : soft(words.circleYear(seasonMap.season.year)),
      soft(words.circleNote),
      data.season.audience === 'public' ? soft(words.circlePublic) : null,
    ];
  };
});
