// The scope of a root field, enforced and named in its description by one and the same word.
import type { Scope } from '../scopes.ts'

/** Options of a root field that needs a scope; `'any'` is any good key. Spread it: `...needs('plan:read', 'What it is.')`. */
export function needs(scope: Scope | 'any', description: string) {
  return scope === 'any'
    ? { description: `${description} Scope: any key.`, authScopes: { anyKey: true } }
    : { description: `${description} Scope: \`${scope}\`.`, authScopes: { scope } }
}
