/** Stands in for @stdlib/assert-has-generator-support, which asks by eval and so offends the window's own policy. */
module.exports = () => true;
