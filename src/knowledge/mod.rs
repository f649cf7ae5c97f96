//! What is known of trees and fungi: typed tables, each row with its source.
