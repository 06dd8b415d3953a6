'use strict';
// How the season's rounded figures are shown. Nothing is computed here.
seasonMap.part(() => {
  const UNITS = { ha: ['ha', 2], km: ['km', 1], m: ['m', 0], pct: ['%', 0], mm: ['mm', 0], degc: ['°C', 1], deg: ['°', 1], hours: ['h', 1] };

  function grouped(value, decimals) {
    const [whole, fraction] = Math.abs(value).toFixed(decimals).split('.');
    const spaced = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, ',') : whole;
    return (value < 0 ? '−' : '') + spaced + (fraction ? `.${fraction}` : '');
  }

  function quantity(value, unit) {
    if (value === null || value === undefined) return seasonMap.words.unknown;
    if (typeof value !== 'number') return String(value);
    const [sign, most] = UNITS[unit] || [unit, 2];
    const decimals = unit === 'ha' && Math.abs(value) >= 10 ? most - 1 : most;
    // A small area is still an area: two decimals would print it as nothing.
    const isTiny = value !== 0 && Math.abs(value) < 0.5 * 10 ** -decimals;
    const figure = isTiny ? String(Number(value.toPrecision(2))) : grouped(value, decimals);
    return sign ? `${figure}${unit === 'deg' ? '' : '\u00a0'}${sign}` : figure;
  }

  function longDate(text) {
    const found = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text || '');
    return found ? `${Number(found[3])} ${seasonMap.words.months[Number(found[2]) - 1]} ${found[1]}` : String(text || '');
  }

  const COMPASS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'];

  function signed(value, unit) {
    const [sign] = UNITS[unit];
    return `${value > 0 ? '+' : ''}${grouped(value, 2)}\u00a0${sign}`;
  }

  seasonMap.numbers = {
    quantity,
    longDate,
    signed,
    dayAndMonth: (text) => longDate(text).replace(/ \d{4}$/, ''),
    compass: (aspect) => COMPASS[Math.round(aspect / 45) % 8],
    score: (value) => (value === null ? seasonMap.words.unknown : value.toFixed(3)),
    degrees: (latitude, longitude) => `${latitude.toFixed(6)}, ${seasonMap.longitudes.told(longitude).toFixed(6)}`,
    utm: (site) => `${site.utm_zone} ${site.easting_m.toFixed(0)} E ${site.northing_m.toFixed(0)} N`,
  };
});
