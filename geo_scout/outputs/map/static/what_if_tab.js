'use strict';
// The tab of what-if questions.
seasonMap.part(() => {
  const { element, words } = seasonMap;
  seasonMap.tabs.add('whatIf', words.tabs.whatIf, element('div', { class: 'what-if' },
    ...['compare', 'circle', 'feedingLines'].map((name) => seasonMap[name].node)));
});
