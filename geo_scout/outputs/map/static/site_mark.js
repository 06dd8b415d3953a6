'use strict';
// What the marks of sites have in common, few or many: the flag, who lies on whom, what a touch does.
seasonMap.part(() => {
  const { state, symbols } = seasonMap;

  seasonMap.siteMark = {
    flag: (site) => symbols.icon(symbols.flag(site.role, site.rank, site.score_low), 'site-mark', [17, 34]),
    height: (site) => (site.rank === null ? -2000 : 2000 - 20 * site.rank),
    listen: (layer, site) => {
      layer.on('click', () => state.choose(site.site_id, 'map'));
      layer.on('mouseover', () => state.point(site.site_id, true));
      layer.on('mouseout', () => state.point(site.site_id, false));
      return layer;
    },
  };
});
