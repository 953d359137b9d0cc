// How Boost.Math is used in this layer: no exceptions (an impossible argument gives NaN, an
// overflow infinity), double in and out. Private to quality/.
#pragma once

#include <boost/math/policies/policy.hpp>

namespace baylore::quality::special {

namespace policies = boost::math::policies;
using Policy = policies::policy<
    policies::domain_error<policies::ignore_error>, policies::pole_error<policies::ignore_error>,
    policies::overflow_error<policies::ignore_error>,
    policies::underflow_error<policies::ignore_error>,
    policies::denorm_error<policies::ignore_error>,
    policies::rounding_error<policies::ignore_error>,
    policies::evaluation_error<policies::ignore_error>,
    policies::indeterminate_result_error<policies::ignore_error>, policies::promote_double<false>>;
inline constexpr Policy kPolicy{};

}  // namespace baylore::quality::special
