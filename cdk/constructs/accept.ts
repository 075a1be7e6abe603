import { Validations } from 'aws-cdk-lib'
import type { Construct } from 'constructs'

/** A finding looked at and lived with, where it lies and with its reason. */
export function acknowledge(where: Construct, id: string, reason: string): void {
  Validations.of(where).acknowledge({ id, reason })
}
