'use strict';
// How a distance and a bearing are told.
seasonMap.part(() => {
  const { numbers, words } = seasonMap;

  function distance(distance_m) {
    if (distance_m < 10) return `${distance_m.toFixed(1)}\u00a0m`;
    if (distance_m < 1000) return numbers.quantity(distance_m, 'm');
    return distance_m < 10000 ? `${(distance_m / 1000).toFixed(2)}\u00a0km` : numbers.quantity(distance_m / 1000, 'km');
  }

  // Rounded first: what rounds to 360 degrees is north.
  const bearing = (bearing_deg) => words.bearing(Math.round(bearing_deg) % 360, numbers.compass(bearing_deg));

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
