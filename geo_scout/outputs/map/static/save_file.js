'use strict';
// Saves a file that the page has made, without any server.
seasonMap.part(() => {
  const { element } = seasonMap;
  const FORGET_AFTER_MS = 60000; // slow phones begin a download late

  seasonMap.offer = (fileName, mimeType, text) => {
    const address = URL.createObjectURL(new Blob([text], { type: mimeType }));
    const link = element('a', { href: address, download: fileName, hidden: true });
    document.body.append(link);
    link.click();
    link.remove();
    seasonMap.say(seasonMap.words.fileSaved(fileName));
    setTimeout(() => URL.revokeObjectURL(address), FORGET_AFTER_MS);
  };
});
