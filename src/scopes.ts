// What a key can be allowed to do. A scope is asked for by every root field of the API that needs one.

/** Every scope with what it allows. */
export const SCOPES = {
  'orders:read': 'Ask for promises and read orders.',
  'orders:write': 'Place, amend and cancel orders.',
  'plan:read': 'Read plans.',
  'plan:write': 'Draft and adopt plans, fix and unfix their decisions.',
  'floor:write': 'Record what happened in the cellar and on the road.',
  'setup:write': 'Create, change and retire what is set up: sites, vessels, beers, accounts and so on.',
  'movements:read': 'Read the movements of beer and containers.',
  'webhooks:write': 'Register and remove webhooks.',
  'keys:write': 'Read, make and revoke keys.',
} as const

export type Scope = keyof typeof SCOPES

export const ALL_SCOPES: readonly Scope[] = Object.keys(SCOPES).filter(isScope)

/** Whether there is a scope of that name. */
export function isScope(name: string): name is Scope {
  return Object.hasOwn(SCOPES, name)
}
