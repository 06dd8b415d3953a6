'use strict';
// Distances, bearings and UTM coordinates on the WGS 84 ellipsoid.
seasonMap.part(() => {
  const A_M = 6378137;
  const F = 1 / 298.257223563;
  const B_M = A_M * (1 - F);
  const N = F / (2 - F);
  const E = Math.sqrt(F * (2 - F));
  const SECOND_E2 = (F * (2 - F)) / (1 - F) ** 2;

  const rad = (deg) => (deg * Math.PI) / 180;
  const deg = (radians) => (radians * 180) / Math.PI;
  const wrapped = (longitude_deg) => ((((longitude_deg + 180) % 360) + 360) % 360) - 180;

  // ---- UTM: the series of Krüger 1912 to the fourth power of n, in the form of Karney 2011 (Journal of Geodesy 85: 475-485)
  const SCALE = 0.9996;
  const FALSE_EASTING_M = 500000;
  const FALSE_NORTHING_M = 10000000;
  const RADIUS_M = (A_M / (1 + N)) * (1 + N ** 2 / 4 + N ** 4 / 64);
  const ALPHA = [
    N / 2 - (2 / 3) * N ** 2 + (5 / 16) * N ** 3 + (41 / 180) * N ** 4,
    (13 / 48) * N ** 2 - (3 / 5) * N ** 3 + (557 / 1440) * N ** 4,
    (61 / 240) * N ** 3 - (103 / 140) * N ** 4,
    (49561 / 161280) * N ** 4,
  ];

  // South-west Norway and Svalbard have zones of their own widths.
  function zoneNumber(latitude_deg, longitude_deg) {
    const east = wrapped(longitude_deg);
    if (latitude_deg >= 56 && latitude_deg < 64 && east >= 3 && east < 12) return 32;
    if (latitude_deg >= 72 && east >= 0 && east < 42) return 31 + 2 * [9, 21, 33].filter((edge) => east >= edge).length;
    return Math.floor((east + 180) / 6) + 1;
  }

  // Returns null beyond 84 N and 80 S, where the grid ends. The letter is the hemisphere, as in the tables.
  function utm(latitude_deg, longitude_deg) {
    if (!(latitude_deg >= -80 && latitude_deg <= 84) || !Number.isFinite(longitude_deg)) return null;
    const zone = zoneNumber(latitude_deg, longitude_deg);
    const east = rad(wrapped(longitude_deg - (6 * zone - 183)));
    const sine = Math.sin(rad(latitude_deg));
    const conformal = Math.sinh(Math.atanh(sine) - E * Math.atanh(E * sine));
    const xi = Math.atan2(conformal, Math.cos(east));
    const eta = Math.asinh(Math.sin(east) / Math.hypot(conformal, Math.cos(east)));
    let [x, y] = [eta, xi];
    ALPHA.forEach((alpha, index) => {
      const times = 2 * (index + 1);
      x += alpha * Math.cos(times * xi) * Math.sinh(times * eta);
      y += alpha * Math.sin(times * xi) * Math.cosh(times * eta);
    });
    return {
      utm_zone: `${zone}${latitude_deg < 0 ? 'S' : 'N'}`,
      easting_m: FALSE_EASTING_M + SCALE * RADIUS_M * x,
      northing_m: (latitude_deg < 0 ? FALSE_NORTHING_M : 0) + SCALE * RADIUS_M * y,
    };
  }

  // ---- The shortest way: Vincenty 1975 (Survey Review 23: 88-93), which does not converge near the other end of the world.
  const reduced = (latitude_deg) => Math.atan((1 - F) * Math.tan(rad(latitude_deg)));

  function byVincenty(beta1, beta2, east) {
    const [sin1, cos1, sin2, cos2] = [Math.sin(beta1), Math.cos(beta1), Math.sin(beta2), Math.cos(beta2)];
    let lambda = east;
    for (let round = 0; round < 100; round += 1) {
      const [sinLambda, cosLambda] = [Math.sin(lambda), Math.cos(lambda)];
      const sinSigma = Math.hypot(cos2 * sinLambda, cos1 * sin2 - sin1 * cos2 * cosLambda);
      if (sinSigma === 0) return lambda === 0 ? { distance_m: 0, bearing_rad: null } : null;
      const cosSigma = sin1 * sin2 + cos1 * cos2 * cosLambda;
      const sigma = Math.atan2(sinSigma, cosSigma);
      const sinAlpha = (cos1 * cos2 * sinLambda) / sinSigma;
      const cos2Alpha = 1 - sinAlpha ** 2;
      const cosMiddle = cos2Alpha > 1e-15 ? cosSigma - (2 * sin1 * sin2) / cos2Alpha : 0;
      const c = (F / 16) * cos2Alpha * (4 + F * (4 - 3 * cos2Alpha));
      const before = lambda;
      lambda = east + (1 - c) * F * sinAlpha * (sigma + c * sinSigma * (cosMiddle + c * cosSigma * (2 * cosMiddle ** 2 - 1)));
      if (Math.abs(lambda) > Math.PI) return null;
      if (Math.abs(lambda - before) < 1e-13) {
        const u2 = cos2Alpha * SECOND_E2;
        const a = 1 + (u2 / 16384) * (4096 + u2 * (-768 + u2 * (320 - 175 * u2)));
        const b = (u2 / 1024) * (256 + u2 * (-128 + u2 * (74 - 47 * u2)));
        const correction = b * sinSigma * (cosMiddle + (b / 4) * (cosSigma * (2 * cosMiddle ** 2 - 1)
          - (b / 6) * cosMiddle * (4 * sinSigma ** 2 - 3) * (4 * cosMiddle ** 2 - 3)));
        return {
          distance_m: B_M * a * (sigma - correction),
          bearing_rad: Math.atan2(cos2 * Math.sin(lambda), cos1 * sin2 - sin1 * cos2 * Math.cos(lambda)),
        };
      }
    }
    return null;
  }

  const PIECES = 64;
  function integral(value, from, to) {
    const step = (to - from) / PIECES;
    let sum = value(from) + value(to);
    for (let piece = 1; piece < PIECES; piece += 1) sum += value(from + piece * step) * (piece % 2 === 1 ? 4 : 2);
    return (sum * step) / 3;
  }

  // The geodesic that leaves the first latitude at an azimuth, followed to the second; Karney 2013, section 2
  // (Journal of Geodesy 87: 43-55). Wants beta1 < 0 and |beta2| <= |beta1|; then it is a shortest way.
  function geodesic(beta1, beta2, azimuth) {
    const [sinAzimuth, cosAzimuth] = [Math.sin(azimuth), Math.cos(azimuth)];
    const sin0 = sinAzimuth * Math.cos(beta1);
    const cos0 = Math.hypot(cosAzimuth, sinAzimuth * Math.sin(beta1));
    const level = (cosAzimuth * Math.cos(beta1)) ** 2 + (Math.cos(beta2) ** 2 - Math.cos(beta1) ** 2);
    const cosCos2 = Math.sqrt(Math.max(level, 0)); // cosine of the azimuth at the end, times cos beta2
    const sigma1 = Math.atan2(Math.sin(beta1), cosAzimuth * Math.cos(beta1));
    const sigma2 = Math.atan2(Math.sin(beta2), cosCos2);
    const omega1 = Math.atan2(sin0 * Math.sin(beta1), cosAzimuth * Math.cos(beta1));
    const omega2 = Math.atan2(sin0 * Math.sin(beta2), cosCos2);
    const k2 = SECOND_E2 * cos0 ** 2;
    const root = (sigma) => Math.sqrt(1 + k2 * Math.sin(sigma) ** 2);
    const slower = integral((sigma) => (2 - F) / (1 + (1 - F) * root(sigma)), sigma1, sigma2);
    return {
      east: omega2 - omega1 - F * sin0 * slower,
      distance_m: B_M * integral(root, sigma1, sigma2),
      endAzimuth: Math.atan2(sin0, cosCos2),
    };
  }

  // Which azimuth gets as far east is found by halving: the farther it turns from the near pole, the farther it gets.
  function byHalving(beta1, beta2, east) {
    const isSwapped = Math.abs(beta1) < Math.abs(beta2);
    const [farther, nearer] = isSwapped ? [beta2, beta1] : [beta1, beta2];
    const isMirrored = farther >= 0; // on the equator both ways round a pole are as long: go by the north
    const start = Math.min(isMirrored ? -farther : farther, -1e-12);
    const end = isMirrored ? -nearer : nearer;
    let [low, high] = [0, Math.PI];
    for (let round = 0; round < 60; round += 1) {
      const middle = (low + high) / 2;
      if (geodesic(start, end, middle).east < east) low = middle; else high = middle;
    }
    const azimuth = (low + high) / 2;
    const found = geodesic(start, end, azimuth);
    const leaving = isSwapped ? found.endAzimuth : azimuth;
    return { distance_m: found.distance_m, bearing_rad: isMirrored !== isSwapped ? Math.PI - leaving : leaving };
  }

  // From one {latitude_deg, longitude_deg} to another. At one and the same place there is no bearing.
  function inverse(from, to) {
    const east = rad(wrapped(to.longitude_deg - from.longitude_deg));
    const [beta1, beta2] = [reduced(from.latitude_deg), reduced(to.latitude_deg)];
    const found = byVincenty(beta1, beta2, Math.abs(east)) || byHalving(beta1, beta2, Math.abs(east));
    if (found.bearing_rad === null) return { distance_m: 0, bearing_deg: null };
    const bearing_deg = deg(found.bearing_rad) * (east < 0 ? -1 : 1);
    return { distance_m: found.distance_m, bearing_deg: ((bearing_deg % 360) + 360) % 360 };
  }

  // ---- Outlines as Leaflet has them: polygons of rings of [latitude, longitude], the first ring outside, holes after it
  function isInsideRing(ring, latitude_deg, longitude_deg) {
    let isInside = false;
    ring.forEach(([lat, lon], index) => {
      const [lat0, lon0] = ring[(index + ring.length - 1) % ring.length];
      const isCrossed = lat > latitude_deg !== lat0 > latitude_deg;
      if (isCrossed && longitude_deg < lon + ((lon0 - lon) * (latitude_deg - lat)) / (lat0 - lat)) isInside = !isInside;
    });
    return isInside;
  }

  const isInside = (outline, { latitude_deg, longitude_deg }) => outline.some(([outer, ...holes]) => isInsideRing(outer, latitude_deg, longitude_deg)
    && !holes.some((hole) => isInsideRing(hole, latitude_deg, longitude_deg)));

  // The nearest point of a stretch, on a plane that is true near the point.
  function nearestOn([lat1, lon1], [lat2, lon2], { latitude_deg, longitude_deg }) {
    const shrink = Math.cos(rad(latitude_deg));
    const [x, y] = [(lon2 - lon1) * shrink, lat2 - lat1];
    const along = ((longitude_deg - lon1) * shrink * x + (latitude_deg - lat1) * y) / (x * x + y * y || 1);
    const share = Math.min(1, Math.max(0, along));
    return { latitude_deg: lat1 + share * (lat2 - lat1), longitude_deg: lon1 + share * (lon2 - lon1) };
  }

  // How far a point lies from the edge of an outline; 0 inside, null where there is none.
  function distanceToOutline(outline, point) {
    if (outline.length === 0) return null;
    if (isInside(outline, point)) return 0;
    let least = Infinity;
    for (const ring of outline.flat()) {
      ring.forEach((vertex, index) => {
        const place = nearestOn(ring[(index + ring.length - 1) % ring.length], vertex, point);
        least = Math.min(least, inverse(point, place).distance_m);
      });
    }
    return least;
  }

  seasonMap.geodesy = { A_M, F, rad, deg, wrapped, utm, inverse, isInside, distanceToOutline };
});
