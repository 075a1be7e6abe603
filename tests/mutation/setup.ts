/** A mutant is killed by the first example against it; a smaller one would tell nobody more. */
import fc from 'fast-check'

fc.configureGlobal({ endOnFailure: true })
