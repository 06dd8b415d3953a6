'use strict';
// How a distance and a bearing are told.
seasonMap.part(() => {
  const { numbers, words } = seasonMap;

  const FIGURES = 4; // what is shown is within 0.1 % of what was measured

  function distance(distance_m) {
    const isShort = distance_m < 1000;
    const length = isShort ? distance_m : distance_m / 1000;
    if (length === 0 || length >= 1000) return numbers.quantity(length, isShort ? 'm' : 'km');
    const before = Math.max(1, Math.floor(Math.log10(length)) + 1); // figures before the point
    return `${length.toFixed(FIGURES - before)}\u00a0${isShort ? 'm' : 'km'}`;
  }

  // Rounded first: what rounds to 360 degrees is north, and the name is that of the figure beside it.
  function bearing(bearing_deg) {
    const whole_deg = Math.round(bearing_deg) % 360;
    return words.bearing(whole_deg, words.compassPoints[Math.round(whole_deg / 22.5) % 16]);
  }

  seasonMap.howFar = {
    distance,
    bearing,
    // From one place to another, in one phrase.
    leg: (from, to) => {
      const { distance_m, bearing_deg } = seasonMap.geodesy.inverse(from, to);
      return bearing_deg === null ? distance(distance_m) : words.leg(distance(distance_m), bearing(bearing_deg));
    },
  };
});
