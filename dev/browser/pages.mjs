// The pages that are looked at. Add a line here, and the page is tested and pictured.

/**
 * @typedef {object} Page
 * @property {string} path
 * @property {string} [name] of its screenshots; made from the path if absent
 * @property {string} [as] as whom the demo is tried: `student:Newt Works`, `mentor:Newt Works`,
 *   `operator:brindlemoor`, `coordinator`
 * @property {number} [status] 200 if absent
 * @property {boolean} [prints] a sheet that is made to be printed
 * @property {boolean} [onePage] it fits one page, A4 and Letter
 */

const TEAM = 'student:Newt Works';
const MENTOR = 'mentor:Newt Works';
const BENCH = 'operator:brindlemoor';
const HUB = 'operator:otterquay';

/** @type {Page[]} */
export const PAGES = [
  { path: '/start' },
  { path: '/how' },
  { path: '/sign-in' },
  { path: '/join' },
  { path: '/come-back' },
  { path: '/invited/no-such-link', name: 'dead-link', status: 404 },
  { path: '/account', as: TEAM, name: 'account-student' },
  { path: '/account', as: MENTOR, name: 'account-adult' },
  { path: '/account/leave', as: TEAM, name: 'account-leave' },
  { path: '/notices', as: TEAM },
  { path: '/notices', as: 'coordinator', name: 'notices-coordinator' },
  { path: '/outbox', as: 'coordinator' },
  { path: '/teams/Newt%20Works', as: MENTOR, name: 'team-people' },
  { path: '/teams/Newt%20Works/erase', as: MENTOR, name: 'team-erase' },
  { path: '/people', as: 'coordinator', name: 'region-people' },
  { path: '/region', as: TEAM, name: 'not-for-you', status: 403 },
  { path: '/parts', as: TEAM },
  { path: '/parts', name: 'parts-needs-change', as: 'student:Mudlark Motion' },
  { path: '/parts/send', as: TEAM },
  { path: '/parts/send?again=1', name: 'parts-send-again', as: TEAM },
  { path: '/parts/1', as: TEAM, name: 'part', prints: true },
  { path: '/parts/3', as: 'student:Reed Runners', name: 'part-with-a-size' },
  { path: '/parts/12', as: 'coordinator', name: 'part-to-change' },
  { path: '/parts/13', name: 'part-worth-changing', as: 'student:Sluice Crew' },
  { path: '/parts/14', name: 'part-mended', as: 'student:Peat Pistons' },
  { path: '/parts/1/otherwise', as: TEAM, name: 'quicker-ways' },
  { path: '/parts/1/withdraw', name: 'part-withdraw', as: TEAM },
  { path: '/parts/1/turn?part=1', as: TEAM, name: 'turn' },
  { path: '/parts/13/turn?part=1', as: 'student:Sluice Crew', name: 'turn-with-numbers' },
  { path: '/parts/1/layer?part=1&layer=40', as: TEAM, name: 'layer' },
  { path: '/parts/13/layer?part=1&layer=51', as: 'student:Sluice Crew', name: 'layer-over-air' },
  { path: '/run-sheet', as: BENCH, prints: true, onePage: true },
  { path: '/run-sheets/brindlemoor/trouble?plate=1', name: 'run-sheet-trouble', as: BENCH },
  { path: '/run-sheets/brindlemoor/printer?printer=Heron', name: 'run-sheet-printer', as: BENCH },
  { path: '/run-sheets/brindlemoor/inspect?plate=1', name: 'run-sheet-inspect', as: BENCH },
  { path: '/run-sheets/quillstead/inspect?plate=7', name: 'run-sheet-measure', as: 'operator:quillstead' },
  { path: '/run-sheets/brindlemoor/decline?plate=1', name: 'run-sheet-decline', as: BENCH },
  { path: '/run-sheets/brindlemoor/boxes', name: 'boxes-bench', as: BENCH },
  { path: '/run-sheets/otterquay', name: 'run-sheet-hub', as: HUB, prints: true, onePage: true },
  { path: '/hubs/otterquay', name: 'hub', as: HUB },
  { path: '/hubs/otterquay', name: 'hub-mentor', as: 'mentor:Bogwheel' },
  { path: '/hubs/otterquay/cards/operator', name: 'hub-card', as: HUB, prints: true, onePage: true },
  { path: '/hubs/otterquay/figures', name: 'hub-figures', as: HUB },
  { path: '/boxes', as: 'coordinator' },
  { path: '/boxes/1', as: BENCH, name: 'label-box', prints: true, onePage: true },
  { path: '/boxes/1', as: 'coordinator', name: 'label-box-coordinator' },
  { path: '/run-sheets', as: 'coordinator' },
  { path: '/plates', as: BENCH },
  { path: '/plates/1', as: BENCH, name: 'plate', prints: true, onePage: true },
  { path: '/spools/brindlemoor', as: BENCH, name: 'spools' },
  { path: '/spools', as: 'coordinator', name: 'spools-all' },
  { path: '/spool/1', as: BENCH, name: 'spool', prints: true, onePage: true },
  { path: '/region', as: 'coordinator' },
  { path: '/recalls', as: 'coordinator' },
  { path: '/recalls?ask=printer', name: 'recalls-wrong', as: 'coordinator' },
  { path: '/region/closed', name: 'closed', as: 'coordinator' },
  { path: '/region/closed?ask=yes&all=hosts&day=2027-03-10&reason=Snow', name: 'closed-shown', as: 'coordinator' },
  { path: '/region/data', name: 'data', as: 'coordinator' },
  { path: '/region/calendar', name: 'season-days', as: 'coordinator' },
  { path: '/region/if', name: 'what-if', as: 'coordinator' },
  { path: '/region/if?ask=out&printer=Heron&day=2027-03-11&clock=12:00', name: 'what-if-out', as: 'coordinator' },
  { path: '/region/if?ask=closed&host=brindlemoor&day=2027-03-10', name: 'what-if-closed', as: 'coordinator' },
  { path: '/region/if?ask=more&printer=Heron&host=brindlemoor', name: 'what-if-more', as: 'coordinator' },
  { path: '/region/if?ask=out&printer=Heron&day=2027-03-01&clock=12:00', name: 'what-if-wrong', as: 'coordinator' },
  { path: '/promises', as: 'coordinator' },
  { path: '/promises?q=newt', name: 'promises-searched', as: 'coordinator' },
  { path: '/promises?q=7', name: 'promises-number', as: 'coordinator' },
  { path: '/shares', as: 'coordinator' },
  { path: '/season', as: 'coordinator', prints: true, onePage: true },
  { path: '/season', as: TEAM, name: 'season-student' },
  { path: '/review', as: 'coordinator' },
  { path: '/review/1', as: 'coordinator', name: 'review-one' },
  { path: '/report?part=1', as: TEAM, name: 'report' },
  { path: '/parts/1/appeal', as: TEAM, name: 'nothing-to-appeal', status: 409 },
  { path: '/there-is-no-such-page', name: 'missing', status: 404 },
];

/** School laptop, tablet, small phone. */
export const SIZES = [
  { width: 1366, height: 768 },
  { width: 820, height: 1180 },
  { width: 360, height: 800 },
];

/** @param {Page} page */
export function nameOf({ path, name }) {
  return name ?? (path.replace(/^\//, '').replaceAll(/[^a-z0-9]+/gi, '-') || 'home');
}
