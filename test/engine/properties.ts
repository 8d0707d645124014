import fc from 'fast-check';

// One seed for all property tests, so that a run can be repeated; a failure prints it with its path.
fc.configureGlobal({ seed: 271828 });

export { fc };
