// The way to the bench: over the network, to the machine that serves the page. The page as one file has another one.

/** carry asks as fetch does. */
export const carry = (address, options) => fetch(address, options);

/** silence is said where no answer comes. */
export const silence = 'The bench does not answer. Is tryring bench still running?';
