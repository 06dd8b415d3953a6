'use strict';
// Which sources could feed which release sites: how far apart in climate and on the ground, and whether their windows meet.
seasonMap.part(() => {
  const { element, words, numbers, data, state, geodesy, howFar, plainButton, windowBar } = seasonMap;
  const OTHER = { release: 'source', source: 'release' };
  const MOST = { release: 6, source: 12 }; // lines from a site of each role
  const LOOKED_AT = 40; // the roughly nearest, which are then measured
  const starts = new Map(); // lines -> where those of each row begin

  const isPlaced = (site) => site.latitude_deg !== null;
  const agentOf = (site) => data.season.agents.findIndex((one) => one.name === site.agent);
  const across = (site) => data.ranking(agentOf(site), OTHER[site.role]);

  function startsOf(lines) {
    if (!starts.has(lines)) {
      let at = 0;
      starts.set(lines, lines.counts.map((count) => { at += count; return at - count; }));
    }
    return starts.get(lines);
  }

  // Nearest climate first, as the season worked it out.
  function byClimate(site) {
    const told = data.season.feeding[agentOf(site)];
    if (told === null) return [];
    const lines = told[site.role];
    const from = startsOf(lines)[site.index];
    const { sites } = across(site);
    return lines.rows.slice(from, from + lines.counts[site.index]).map((row, number) => ({ other: sites[row], gap: lines.gaps[from + number] }));
  }

  function roughly(one, other) {
    const east = Math.abs(one.longitude_deg - other.longitude_deg);
    const narrowed = Math.min(east, 360 - east) * Math.cos((one.latitude_deg * Math.PI) / 180);
    return narrowed ** 2 + (one.latitude_deg - other.latitude_deg) ** 2;
  }

  // Where no climate is compared, the nearest on the ground.
  function byDistance(site) {
    if (!isPlaced(site)) return [];
    const near = across(site).sites.filter((one) => one.group === 'ranked' && isPlaced(one) && one.site_id !== site.site_id)
      .map((one) => [roughly(site, one), one]).sort(([one], [next]) => one - next).slice(0, LOOKED_AT);
    const measured = near.map(([, other]) => ({ other, gap: null, ...geodesy.inverse(site, other) }));
    return measured.sort((one, next) => one.distance_m - next.distance_m).slice(0, MOST[site.role]);
  }

  // The days on which the windows of both are open: {from, to}, null where there are none, undefined where that is not known.
  function overlap(one, other) {
    if (!windowBar.isDated(one) || !windowBar.isDated(other)) return undefined;
    const from = one.window_opens > other.window_opens ? one.window_opens : other.window_opens;
    const to = one.window_closes < other.window_closes ? one.window_closes : other.window_closes;
    return from <= to ? { from, to } : null;
  }

  function way(site, other) {
    if (!isPlaced(site) || !isPlaced(other)) return { distance_m: null, hours: null };
    const { distance_m } = geodesy.inverse(site, other);
    const speed = data.season.travel_km_per_hour;
    return { distance_m, hours: speed ? distance_m / 1000 / speed : null };
  }

  // The other ends of a ranked site's lines: {other, gap, distance_m, hours, together}.
  function of(site) {
    if (site.group !== 'ranked') return [];
    const found = byClimate(site);
    return (found.length > 0 ? found : byDistance(site))
      .map(({ other, gap }) => ({ other, gap, ...way(site, other), together: overlap(site, other) }));
  }

  // ---- in words
  const nameOf = (site) => data.ranking(agentOf(site), site.role).nameOf(site);
  const isSigma = (site, other) => (site.role === 'release' ? site : other).climate_gap_kind === 'interannual';
  const gapWords = (site, { gap, other }, say) => say[isSigma(site, other) ? 'interannual' : 'regional'](numbers.quantity(gap, ''));

  function windowWords({ together }) {
    if (together === undefined) return words.windowsUnknown;
    return together === null ? words.windowsApart : words.windowsMeet(numbers.dayAndMonth(together.from), numbers.dayAndMonth(together.to));
  }

  function travelTime(hours) {
    const minutes = Math.round(60 * hours);
    return minutes < 60 ? words.minutes(minutes) : numbers.quantity(hours, 'hours');
  }

  function facts(site, one) {
    return [
      one.gap === null ? null : gapWords(site, one, words.feedingGap),
      one.distance_m === null ? null : howFar.distance(one.distance_m),
      one.hours === null ? null : words.feedingTime(travelTime(one.hours)),
      windowWords(one),
    ].filter((part) => part !== null).join(' · ');
  }

  function open(other) {
    const agentIndex = agentOf(other);
    if (state.agentIndex !== agentIndex || state.role !== other.role) state.show(agentIndex, other.role);
    state.choose(other.site_id, 'list');
  }

  const item = (site, one) => element('li', { 'data-other': one.other.site_id },
    plainButton(element('bdi', {}, words.rankedName(one.other.rank, nameOf(one.other))), () => open(one.other), { class: 'name-button' }),
    element('span', { class: 'feeding-facts' }, facts(site, one)));

  function lead(site, found) {
    if (found.length === 0) return words.feedingNone[site.role];
    const order = found[0].gap === null ? words.feedingByDistance : words.feedingByClimate;
    return `${order} ${data.season.travel_km_per_hour ? words.feedingWay : words.feedingWayOnly}`;
  }

  // A section of the site's card.
  function section(site) {
    if (site.group !== 'ranked') return [];
    const found = of(site);
    return [element('h3', {}, words.feeding[site.role]), element('p', { class: 'soft' }, lead(site, found)),
      found.length === 0 ? null : element('ol', { class: 'feeding-list' }, ...found.map((one) => item(site, one)))].filter(Boolean);
  }

  seasonMap.cardSections.push(section);
  seasonMap.feeding = { of, section, open, gapWords, nameOf };
});
