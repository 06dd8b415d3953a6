'use strict';
// Where one gets to from a place, and the circle of all places at one distance, on the WGS 84 ellipsoid.
seasonMap.part(() => {
  const { A_M, F, rad, deg } = seasonMap.geodesy;
  const B_M = A_M * (1 - F);
  const SECOND_E2 = (F * (2 - F)) / (1 - F) ** 2;

  // The direct problem of Vincenty 1975 (Survey Review 23: 88-93). The longitude goes on beyond 180 degrees, so that
  // lines drawn from the start do not run round the world.
  function destination({ latitude_deg, longitude_deg }, bearing_deg, distance_m) {
    const [sinAzimuth, cosAzimuth] = [Math.sin(rad(bearing_deg)), Math.cos(rad(bearing_deg))];
    const beta = Math.atan((1 - F) * Math.tan(rad(latitude_deg)));
    const [sinBeta, cosBeta] = [Math.sin(beta), Math.cos(beta)];
    const sigma1 = Math.atan2(sinBeta, cosBeta * cosAzimuth);
    const sinAlpha = cosBeta * sinAzimuth;
    const cos2Alpha = 1 - sinAlpha ** 2;
    const u2 = cos2Alpha * SECOND_E2;
    const a = 1 + (u2 / 16384) * (4096 + u2 * (-768 + u2 * (320 - 175 * u2)));
    const b = (u2 / 1024) * (256 + u2 * (-128 + u2 * (74 - 47 * u2)));
    const plain = distance_m / (B_M * a);
    let sigma = plain;
    let cosMiddle = 0;
    for (let round = 0; round < 20; round += 1) {
      cosMiddle = Math.cos(2 * sigma1 + sigma);
      const [sine, cosine] = [Math.sin(sigma), Math.cos(sigma)];
      const next = plain + b * sine * (cosMiddle + (b / 4) * (cosine * (2 * cosMiddle ** 2 - 1)
        - (b / 6) * cosMiddle * (4 * sine ** 2 - 3) * (4 * cosMiddle ** 2 - 3)));
      const isSettled = Math.abs(next - sigma) < 1e-13;
      sigma = next;
      if (isSettled) break;
    }
    const [sine, cosine] = [Math.sin(sigma), Math.cos(sigma)];
    const across = sinBeta * sine - cosBeta * cosine * cosAzimuth;
    const lambda = Math.atan2(sine * sinAzimuth, cosBeta * cosine - sinBeta * sine * cosAzimuth);
    const c = (F / 16) * cos2Alpha * (4 + F * (4 - 3 * cos2Alpha));
    const east = lambda - (1 - c) * F * sinAlpha * (sigma + c * sine * (cosMiddle + c * cosine * (2 * cosMiddle ** 2 - 1)));
    return {
      latitude_deg: deg(Math.atan2(sinBeta * cosine + cosBeta * sine * cosAzimuth, (1 - F) * Math.hypot(sinAlpha, across))),
      longitude_deg: longitude_deg + deg(east),
    };
  }

  // [[latitude, longitude] ...], clockwise from the north.
  function ring(centre, radius_m, corners) {
    return Array.from({ length: corners }, (_, corner) => {
      const { latitude_deg, longitude_deg } = destination(centre, (360 * corner) / corners, radius_m);
      return [latitude_deg, longitude_deg];
    });
  }

  seasonMap.geodesicCircle = { destination, ring };
});
