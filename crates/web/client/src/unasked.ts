// What a page that lies open fetches by itself keeps nobody signed in.

/** Says that nobody asked for this but the page itself. */
export const UNASKED = { 'partpledge-unasked': '1' };
