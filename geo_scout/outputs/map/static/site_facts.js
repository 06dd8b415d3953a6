'use strict';
// What a card says of one site's climate, ground and time of year. Nothing is computed here.
seasonMap.part(() => {
  const { element, numbers, words, data, state } = seasonMap;

  const isThere = (value) => value !== null && value !== undefined && value !== '';
  const paragraph = (text) => element('p', { class: 'reason' }, text);
  const sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? '' : '.');

  function table(pairs) {
    const known = pairs.filter(([, value]) => isThere(value));
    if (known.length === 0) return null;
    return element('dl', { class: 'facts-table' }, ...known.flatMap(([name, value]) => [element('dt', {}, name), element('dd', {}, value)]));
  }

  function section(title, ...parts) {
    const known = parts.filter((part) => part !== null);
    return known.length === 0 ? [] : [element('h3', {}, title), ...known];
  }

  // A ranked site's card lists its possible sources, the best one first; others name it here.
  const isListed = (site) => site.group === 'ranked' && data.season.feeding[state.agentIndex] !== null;

  function bestSource(site) {
    const best = site.best_source_site_id;
    if (!isThere(best)) return isThere(site.best_source_note) ? site.best_source_note : null;
    if (best === site.site_id || isListed(site)) return null;
    const found = data.ranking(state.agentIndex, 'source').sites.find((one) => one.site_id === best);
    const name = found && found.name ? `${found.name} (${best})` : best;
    const gap = numbers.quantity(site.best_source_climate_gap, '');
    return words.bestSourceOf(name, gap);
  }

  const isNovel = (site) => isThere(site.novelty_note) && site.novelty_note.includes('outside');

  function corrected(site) {
    if (!isThere(site.climate_tmin_correction_degc)) return null;
    const by = words.correctedBy(numbers.signed(site.climate_tmin_correction_degc, 'degc'), numbers.signed(site.climate_tmax_correction_degc, 'degc'));
    return [by, site.climate_note].filter(isThere).join('; ');
  }

  function gapOf(site) {
    const [gap, say] = [numbers.quantity(site.climate_gap, ''), words.climateGapOf[site.climate_gap_kind]];
    return say ? say(gap) : gap;
  }

  function climate(site) {
    const isScored = isThere(site.climate_gap);
    const driver = !isThere(site.climate_gap_driver) ? null
      : paragraph(isScored ? sentence(site.climate_gap_driver) : sentence(words.climateUnknown(site.climate_gap_driver)));
    return section(words.climate, table([
      [words.climateGap, isScored ? gapOf(site) : null],
    ]), driver, table([
      [words.bestSource, bestSource(site)],
      [words.novelty, isNovel(site) ? null : site.novelty_note],
      [words.corrected, corrected(site)],
    ]), isNovel(site) ? paragraph(sentence(words.noveltyCaution(site.novelty_note))) : null);
  }

  function aspect(site) {
    if (!isThere(site.slope_deg)) return null;
    if (!isThere(site.aspect_deg)) return words.aspectNone;
    return words.aspectOf(numbers.compass(site.aspect_deg), `${Math.round(site.aspect_deg) % 360}°`, numbers.quantity(site.aspect_strength, ''));
  }

  const ground = (site) => section(words.ground, table([
    [words.elevation, isThere(site.elevation_m) ? numbers.quantity(site.elevation_m, 'm') : null],
    [words.slope, isThere(site.slope_deg) ? numbers.quantity(site.slope_deg, 'deg') : null],
    [words.aspect, aspect(site)],
    [words.heatLoad, isThere(site.heat_load) ? numbers.quantity(site.heat_load, '') : null],
    [words.position, isThere(site.relative_position_m)
      ? words.positionOf(numbers.quantity(Math.abs(site.relative_position_m), 'm'), site.relative_position_m >= 0) : null],
  ]));

  function moment(site, name) {
    const day = site[`window_${name}`];
    if (!isThere(day)) return null;
    const { window_opens_early: early, window_opens_late: late } = site;
    if (name !== 'opens' || !isThere(early) || !isThere(late) || early >= late) return numbers.longDate(day);
    return `${numbers.longDate(day)}; ${words.opensRange(numbers.dayAndMonth(early), numbers.dayAndMonth(late))}`;
  }

  function shift(site) {
    const { window_warm_shift_days: warm, window_cool_shift_days: cool } = site;
    if (!isThere(warm) || !isThere(cool) || (warm === 0 && cool === 0)) return null;
    return words.shiftOf(words.shiftDays(warm), words.shiftDays(cool));
  }

  function seasonWindow(site) {
    if (!isThere(site.window_kind)) return [];
    const moments = words.moments[site.role];
    const dates = Object.keys(moments).map((name) => [moments[name], moment(site, name)]);
    const seen = Object.entries(site.toBeSeen).map(([name, said]) => words.seenAt(moments[name], said)).join('; ');
    const hasDates = dates.some(([, day]) => day !== null);
    return section(words.window[site.role],
      seasonMap.windowBar(site),
      !hasDates && words.windowKinds[site.window_kind] ? paragraph(words.windowKinds[site.window_kind]) : null,
      table([...dates, [words.shift, shift(site)], [words.toBeSeen, seen], [words.windowFrom, site.window_basis]]),
      isThere(site.window_note) ? paragraph(words.windowNote(site.window_note)) : null,
      hasDates ? paragraph(words.windowEstimate) : null,
      paragraph(words.beforeGoing));
  }

  seasonMap.isNovel = isNovel;
  seasonMap.siteFacts = { table, climate, ground, seasonWindow };
});
