'use strict';
// A text field that finds a site by its name or id, and offers those that fit what is typed.
seasonMap.part(() => {
  const { element, words, replace } = seasonMap;
  const OFFERED = 50;

  const fullName = (site) => (site.name ? words.siteAndId(site.name, site.site_id) : site.site_id);

  // Returns {site}, or {problem}; a name that several sites bear finds none of them.
  function find(sites, text) {
    const typed = text.trim().toLowerCase();
    const isSame = (one) => Boolean(one) && one.trim().toLowerCase() === typed;
    const exact = sites.filter((site) => isSame(site.site_id) || isSame(fullName(site)));
    const found = exact.length > 0 ? exact : sites.filter((site) => isSame(site.name));
    if (found.length > 1) return { problem: words.betweenMany(found.length) };
    return found.length === 1 ? { site: found[0] } : { problem: words.siteUnknown };
  }

  // A list of every site would slow the page down: only names that fit what was typed are offered.
  function fitting(sites, text) {
    const typed = text.trim().toLowerCase();
    const found = [];
    for (const site of sites) {
      if (found.length === OFFERED) break;
      if (fullName(site).toLowerCase().includes(typed)) found.push(site);
    }
    return found;
  }

  // sites: what it chooses among; change: told of the text whenever it was changed.
  function make({ id, label, sites, change }) {
    const names = element('datalist', { id: `${id}-names` });
    const input = element('input', { id, type: 'text', list: `${id}-names`, autocomplete: 'off', spellcheck: 'false' });
    const offer = () => replace(names, ...fitting(sites(), input.value).map((site) => element('option', { value: fullName(site) })));
    input.addEventListener('focus', offer);
    input.addEventListener('input', offer);
    input.addEventListener('change', () => change(input.value));
    return {
      input,
      node: element('label', { class: 'field' }, element('span', {}, label), input, names),
      set: (site) => { input.value = site === null ? '' : fullName(site); },
    };
  }

  seasonMap.siteField = { make, find, fullName };
});
