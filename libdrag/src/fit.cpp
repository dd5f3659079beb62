#include "fit.hpp"

#include <algorithm>
#include <cmath>

namespace libdrag::fit {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

Rows Rows::only(std::vector<Index> const& rows) const {
    Rows out = *this;
    auto const n = static_cast<Index>(rows.size());
    out.z.resize(n);
    out.noise.resize(n);
    out.J.resize(n, J.cols());
    out.block.clear();
    for (Index i = 0; i < n; ++i) {
        Index const from = rows[static_cast<std::size_t>(i)];
        out.z[i] = z[from];
        out.noise[i] = noise[from];
        out.J.row(i) = J.row(from);
        out.block.push_back(block[static_cast<std::size_t>(from)]);
    }
    return out;
}

MatrixXd Rows::covariance(VectorXd const& ln_tau) const {
    MatrixXd const scaled = J * prior_sd.asDiagonal();
    MatrixXd S = scaled * scaled.transpose();
    S.diagonal() += noise;
    for (Index i = 0; i < size(); ++i)
        for (Index j = 0; j < size(); ++j) {
            Index const block_i = block[static_cast<std::size_t>(i)];
            if (block_i == block[static_cast<std::size_t>(j)])
                S(i, j) += std::exp(2.0 * ln_tau[group_of[static_cast<std::size_t>(block_i)]]);
        }
    return S;
}

Fit solve(Rows const& rows, VectorXd const& start, int steps) {
    Index const n = rows.size(), groups = rows.log_tau.size(),
                blocks = static_cast<Index>(rows.group_of.size());
    MatrixXd E = MatrixXd::Zero(n, blocks); // which row is of which block
    for (Index i = 0; i < n; ++i) E(i, rows.block[static_cast<std::size_t>(i)]) = 1.0;
    double const precision = 1.0 / (rows.log_tau_sd * rows.log_tau_sd);

    VectorXd ln_tau = start;
    Eigen::LLT<MatrixXd> llt(rows.covariance(ln_tau));
    for (int step = 0; step < steps; ++step) {
        // With M = E' S^-1 E and u = E' S^-1 z, dS/d ln tau_g = 2 tau_g^2 E_g E_g':
        // gradient tau_g^2 sum over its blocks (u^2 - M_bb), expected curvature 2 tau_g^2 tau_h^2 sum M_bc^2.
        MatrixXd const KE = llt.solve(E);
        MatrixXd const M = E.transpose() * KE;
        VectorXd const u = KE.transpose() * rows.z;
        VectorXd gradient = -precision * (ln_tau - rows.log_tau);
        MatrixXd curvature = precision * MatrixXd::Identity(groups, groups);
        for (Index b = 0; b < blocks; ++b) {
            Index const g = rows.group_of[static_cast<std::size_t>(b)];
            double const tau2 = std::exp(2.0 * ln_tau[g]);
            gradient[g] += tau2 * (u[b] * u[b] - M(b, b));
            for (Index c = 0; c < blocks; ++c) {
                Index const h = rows.group_of[static_cast<std::size_t>(c)];
                curvature(g, h) += 2.0 * tau2 * std::exp(2.0 * ln_tau[h]) * M(b, c) * M(b, c);
            }
        }
        VectorXd const full = curvature.ldlt().solve(gradient);
        double const largest = full.cwiseAbs().maxCoeff();
        ln_tau += full * std::min(1.0, 0.7 / std::max(largest, 1e-300));
        llt.compute(rows.covariance(ln_tau));
        if (largest < 1e-10) break;
    }

    VectorXd const L = rows.prior_sd.cwiseAbs2();
    MatrixXd const JL = rows.J * L.asDiagonal();
    VectorXd const weighed = llt.solve(rows.z);
    Fit out{ln_tau, JL.transpose() * weighed, -JL.transpose() * llt.solve(JL), 0.0};
    out.V.diagonal() += L;
    double log_det = 0.0;
    for (Index i = 0; i < n; ++i) log_det += 2.0 * std::log(llt.matrixLLT()(i, i));
    constexpr double ln_2pi = 1.8378770664093453;
    out.log_likelihood = -0.5 * (rows.z.dot(weighed) + log_det + static_cast<double>(n) * ln_2pi)
                         - 0.5 * precision * (ln_tau - rows.log_tau).squaredNorm();
    return out;
}

Normal predict(Rows const& rows, Index row, Fit const& fit) {
    VectorXd const j = rows.J.row(row);
    Index const block = rows.block[static_cast<std::size_t>(row)];
    double const tau = std::exp(fit.log_tau[rows.group_of[static_cast<std::size_t>(block)]]);
    return {j.dot(fit.shift), std::sqrt(j.dot(fit.V * j) + rows.noise[row] + tau * tau)};
}

} // namespace libdrag::fit
