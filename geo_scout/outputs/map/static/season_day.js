'use strict';
// The day and the year in view: whose window is open then, and what the records said by then.
seasonMap.part(() => {
  const { state } = seasonMap;

  const isOpen = (site, day) => Boolean(site.window_opens) && Boolean(site.window_closes) && site.window_opens <= day && day <= site.window_closes;

  const season = {
    day: null, // "2027-06-14", or null
    onlyOpen: false, // whether sites whose window is shut that day are left out of list and map
    year: null, // null: now
    set: (day, onlyOpen) => {
      season.day = day || null;
      season.onlyOpen = Boolean(onlyOpen && season.day);
      state.day = season.day;
      state.tell('season');
    },
    setYear: (year) => {
      season.year = year;
      state.tell('year');
    },
    isOpen,
    passes: (site) => !season.onlyOpen || isOpen(site, season.day),
  };
  seasonMap.season = season;
});
